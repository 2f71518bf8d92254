/** One question each: (dataset, plan) -> Finding. */

export { drillTrial, drillTrialStudy } from './drill-trial/drill-trial.ts';
export type { DosePoint, DrillTrialTables, FlowRow, GolferChange, GroupPhase } from './drill-trial-tables.ts';
export type {
  Check,
  Finding,
  FindingEstimate,
  LeftOut,
  Planned,
  PlannedPart,
  PlannedTiming,
  Provenance,
  Sensitivity,
  SmallestChange,
  Verdict,
} from './finding.ts';
export { noise, noiseStudy } from './noise/noise.ts';
export type {
  Agreement,
  CorrelationRow,
  DetectableCell,
  DeviceNoise,
  GolferNoise,
  NoisePart,
  NoiseTables,
} from './noise-tables.ts';
export { isStudyName, type StudyName, studies } from './registry.ts';
export {
  type ReportingChecklist,
  type ReportingItem,
  reportingChecklist,
  STATEMENTS,
} from './reporting/index.ts';
export { serialiseFinding } from './serialise.ts';
export {
  MOST_SPECIFICATIONS,
  type SpecificationChoice,
  type SpecificationCurve,
  type SpecificationRow,
  specificationCurve,
  standardChoices,
} from './specification/index.ts';
export type { Study, StudyOptions, StudyOutcome, StudyProblem } from './study.ts';
