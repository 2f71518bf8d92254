/** Curves compared whole: t fields, permutation of the largest |t|, random field theory, registration. */

export { possibleArrangements } from './arrangements.ts';
export { type Curves, curvesFrom, pairedDifferences } from './curves.ts';
export {
  type MaximumDistribution,
  type MaximumOptions,
  maximumCritical,
  maximumDistribution,
  maximumP,
  type PermutationP,
} from './permutation-test.ts';
export { type CurveQuestion, type CurveScores, curveScores } from './question.ts';
export {
  expectedStretches,
  type RandomField,
  type RandomFieldThreshold,
  randomFieldP,
  randomFieldThreshold,
} from './random-field.ts';
export { ownTime } from './registration.ts';
export { type Smoothness, smoothness } from './smoothness.ts';
export { type TField, tField } from './t-field.ts';
export { type NodeWindow, windowsOf } from './windows.ts';
