export {
  type ImportOutcome,
  type ImportRequest,
  type ImportResult,
  importFile,
} from './import-file.ts';
export type { Counts } from './import-log.ts';
export type { ImportProblem } from './import-problem.ts';
export { joinByTime, type TimePair } from './join-by-time.ts';
export { knownNames } from './known-names.ts';
export { checkMapping, type Mapping, openQuestions } from './mapping.ts';
export { type Proposal, proposeMapping } from './propose.ts';
