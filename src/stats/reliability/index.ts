/** How noisy a number is, and how well two ways of measuring agree. */

export { equalVariances } from './equal-variances.ts';

export type {
  LimitsOfAgreement,
  LimitsOptions,
  ProportionalBias,
  UnpairedReadings,
} from './limits-of-agreement.ts';
export {
  limitsFromPairs,
  limitsFromReadings,
  limitsOfAgreement,
  proportionalBias,
  repeatability,
} from './limits-of-agreement.ts';
export { type MeasurementErrors, measurementErrors, minimalDetectableChange } from './measurement-error.ts';
export {
  type MeanSquare,
  type NestedNoise,
  type NestedValue,
  type NoiseWeights,
  nestedNoise,
  varianceOf,
} from './nested-noise.ts';
export { type ReliabilityForm, sixCorrelations } from './six-correlations.ts';
export { type TwoWayMeanSquares, twoWayMeanSquares } from './two-way.ts';
export { type MeanSquareTerm, sdOf, type VarianceSum, varianceSum } from './variance-sum.ts';
