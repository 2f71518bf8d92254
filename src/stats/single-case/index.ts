/** Statistics of one case, or a few, followed over time through phases A and B. */

export { lagOneAutocorrelation } from './autocorrelation.ts';
export {
  changeInSeries,
  type Series,
  type SeriesChange,
  type SeriesChangeOptions,
} from './change-in-series.ts';
export { detectableChange, pooledSd } from './detectable-change.ts';
export { type Kendall, kendall } from './kendall.ts';
export {
  type ChartLimits,
  type ChartSignal,
  chartLimits,
  chartSignals,
  LIMIT_FACTOR,
  movingRanges,
  RANGE_FACTOR,
  RUN_LENGTH,
} from './moving-range-chart.ts';
export { type NonOverlap, nonOverlap } from './non-overlap.ts';
export {
  countPhaseAssignments,
  drawPhaseAssignment,
  eachPhaseAssignment,
  occasionsForAssignments,
} from './phase-assignments.ts';
export {
  type MultipleBaselineDesign,
  type PhaseDesign,
  type RandomisationOptions,
  type RandomisationTest,
  randomisationTest,
  type SingleCaseDesign,
} from './randomisation-test.ts';
export {
  type BaselineCorrectedTau,
  baselineCorrectedTau,
  type RankTrend,
  rankTrend,
  theilSen,
} from './rank-trend.ts';
export {
  countStartingPoints,
  drawStartingPoints,
  eachStartingPoints,
  type StartWindow,
  type WindowRule,
} from './starting-points.ts';
