/**
 * Questions to a fit about combinations of its effects: families at once, adjusted means, what to expect of a
 * new level.
 */

export {
  type AdjustedMean,
  adjustedMeans,
  type MeansOptions,
  pairwiseDifferences,
} from './adjusted-means.ts';
export { type Family, type FamilyMember, type FamilyOptions, simultaneously } from './family.ts';
export { type Prediction, type PredictOptions, predictNew } from './predict-new.ts';
export type { Setting } from './predictor-row.ts';
