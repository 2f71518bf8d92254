/** One question each: (dataset, plan) -> Finding. */

export { angleFinding } from './angle/angle-finding.ts';
export { type AngleFindingInput, DEFAULT_TOLERANCE_DEG } from './angle/angle-finding-input.ts';
export { angleNames } from './angle/definition-words.ts';
export {
  type PublishedAngle,
  type PublishedAngles,
  type ReadPublished,
  readPublished,
} from './angle/published.ts';
export type {
  AngleBudgetRow,
  AngleDefinitionRow,
  AngleDifference,
  AngleStepRow,
  AngleTables,
} from './angle-tables.ts';
export {
  type CalibrationInput,
  calibrationFinding,
  findingOfRows,
} from './calibration/calibration-finding.ts';
export { CALIBRATED_STUDIES, type CalibratedStudy, type CalibrationRow } from './calibration/row.ts';
export type { CalibrationTables, JudgedRow } from './calibration-tables.ts';
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
export { instructors, instructorsStudy } from './instructors/instructors.ts';
export type {
  InstructorPair,
  InstructorRow,
  InstructorsTables,
  ReliabilityRow,
} from './instructors-tables.ts';
export type { Held, MechanismChoice, SwingRule } from './mechanism/input/choice.ts';
export { mechanism, mechanismStudy } from './mechanism/mechanism.ts';
export {
  defaultChoice,
  type MechanismAnswer,
  mechanismUnder,
} from './mechanism/mechanism-under.ts';
export type {
  MechanismCurve,
  MechanismGolfer,
  MechanismInterval,
  MechanismPath,
  MechanismTables,
  MechanismWay,
} from './mechanism-tables.ts';
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
export { oneGolfer, oneGolferStudy } from './one-golfer/one-golfer.ts';
export type {
  Condition,
  GolferLimits,
  OneGolferTables,
  PhaseRun,
  RandomisationTable,
  SessionPoint,
} from './one-golfer-tables.ts';
export { planFinding } from './plan/plan-finding.ts';
export type { PlanInput } from './plan/plan-input.ts';
export type { PlannedKind } from './plan/planned-design.ts';
export type { PlanCell, PlanTables } from './plan-tables.ts';
export { isStudyName, type StudyName, studies } from './registry.ts';
export {
  type ReportingChecklist,
  type ReportingItem,
  reportingChecklist,
  STATEMENTS,
} from './reporting/index.ts';
export { serialiseFinding } from './serialise.ts';
export { commandOf, FOLDER_WORD, PLAN_WORD } from './shared/command.ts';
export { DEFAULT_METRIC } from './shared/study-metric.ts';
export {
  MOST_SPECIFICATIONS,
  type SpecificationChoice,
  type SpecificationCurve,
  type SpecificationRow,
  specificationCurve,
  standardChoices,
} from './specification/index.ts';
export type { Study, StudyOptions, StudyOutcome, StudyProblem } from './study.ts';
export { TIME_AXES, type TimeAxis } from './waveform/input/axis.ts';
export { COMPARISONS, type ComparisonKind } from './waveform/input/comparison.ts';
export { waveform, waveformStudy } from './waveform/waveform.ts';
export type { WaveformNode, WaveformTables, WaveformTiming, WaveformWindow } from './waveform-tables.ts';
