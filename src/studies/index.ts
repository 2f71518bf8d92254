/** One question each: (dataset, plan) -> Finding. */

export { drillTrial, drillTrialStudy } from './drill-trial/drill-trial.ts';
export type { DosePoint, DrillTrialTables, FlowRow, GolferChange, GroupPhase } from './drill-trial-tables.ts';
export type {
  Check,
  Finding,
  FindingEstimate,
  LeftOut,
  Planned,
  Provenance,
  Sensitivity,
  SmallestChange,
  Verdict,
} from './finding.ts';
export { isStudyName, type StudyName, studies } from './registry.ts';
export { serialiseFinding } from './serialise.ts';
export type { Study, StudyOptions, StudyOutcome, StudyProblem } from './study.ts';
