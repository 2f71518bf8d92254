/** Statistics of before/after comparisons, for any units in groups. */

export { median } from '../../numerics/index.ts';
export type { ResponseSpread, ResponseSpreadInput } from './individual-responses.ts';
export { responseSpread } from './individual-responses.ts';
export type { MeanDifference, Moments } from './moments.ts';
export {
  meanInterval,
  moments,
  robustDistances,
  skewness,
  unequalSpreadDifference,
} from './moments.ts';
export { prePostVarianceFactor } from './pre-post-variance.ts';
export type { TwoEstimates } from './ratio-interval.ts';
export { ratioInterval } from './ratio-interval.ts';
export type { SelectionBeyond } from './regression-to-mean.ts';
export { expectedShiftAfterSelection, expectedShiftOfGroup, reliability } from './regression-to-mean.ts';
export type { TippingInput } from './tipping-point.ts';
export { tippingShift } from './tipping-point.ts';
export { pureBetweenSd, typicalErrorOfChanges } from './typical-error.ts';
export { joinedSums, type ValueSums, valueSums } from './value-sums.ts';
