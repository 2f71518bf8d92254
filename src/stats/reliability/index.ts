/** How noisy a number is, and how well two ways of measuring agree. */

export { equalVariances } from './equal-variances.ts';
export { limitsFromPairs } from './limits-from-pairs.ts';
export type { UnpairedReadings } from './limits-from-readings.ts';
export { limitsFromReadings } from './limits-from-readings.ts';
export type { LimitsOfAgreement, LimitsOptions } from './limits-of-agreement.ts';
export { limitsOfAgreement } from './limits-of-agreement.ts';
export { type MeasurementErrors, measurementErrors, minimalDetectableChange } from './measurement-error.ts';
export {
  type MeanSquare,
  type NestedNoise,
  type NestedValue,
  type NoiseWeights,
  nestedNoise,
  varianceOf,
} from './nested-noise.ts';
export type { ProportionalBias } from './proportional-bias.ts';
export { proportionalBias } from './proportional-bias.ts';
export { repeatability } from './repeatability.ts';
export { type ReliabilityForm, sixCorrelations } from './six-correlations.ts';
export { type TwoWayMeanSquares, twoWayMeanSquares } from './two-way.ts';
export { type MeanSquareTerm, sdOf, type VarianceSum, varianceSum } from './variance-sum.ts';
