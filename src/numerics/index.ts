/** Numbers in, numbers out: matrices, factorisations, optimiser, distributions, random streams. */

export {
  chiSquaredLower,
  chiSquaredQuantile,
  chiSquaredUpper,
  chiSquaredUpperQuantile,
} from './distributions/chi-squared.ts';
export { fLower, fQuantile, fUpper, fUpperQuantile } from './distributions/f.ts';
export {
  normalDensity,
  normalLower,
  normalQuantile,
  normalUpper,
  normalUpperQuantile,
} from './distributions/normal.ts';
export {
  studentLower,
  studentQuantile,
  studentTwoSided,
  studentUpper,
  studentUpperQuantile,
} from './distributions/student.ts';
export { multivariateNormal } from './random/multivariate-normal.ts';
export { createStream, type Stream } from './random/stream.ts';
