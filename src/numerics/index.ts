/** Numbers in, numbers out: matrices, factorisations, optimiser, distributions, random streams. */

export {
  chiSquaredLower,
  chiSquaredQuantile,
  chiSquaredUpper,
  chiSquaredUpperQuantile,
} from './distributions/chi-squared.ts';
export { fLower, fQuantile, fUpper, fUpperQuantile } from './distributions/f.ts';
export { type LargestStudent, largestStudent } from './distributions/largest-student/largest-student.ts';
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
export { studentizedRangeUpper, studentizedRangeUpperQuantile } from './distributions/studentized-range.ts';
export { integrateInterval } from './integrate/integrate-interval.ts';
export type { EventFunction } from './integrate/locate-event.ts';
export type { MotionProblem } from './integrate/motion-problem.ts';
export { type Happening, type Motion, type MotionFault, solveMotion } from './integrate/solve-motion.ts';
export {
  choleskyInPlace,
  inverseOfPositiveDefinite,
  logDeterminantOfFactor,
  solveLower,
  solveLowerTransposed,
} from './linear/cholesky.ts';
export { type LeastSquares, leastSquares } from './linear/least-squares.ts';
export {
  type OrthogonalColumns,
  orthogonalColumns,
  solveUpper,
  solveUpperTransposed,
} from './linear/orthogonal-columns.ts';
export { factorPanel, inverseTransposed } from './linear/panel-cholesky.ts';
export { type Rows, subtractRowProducts, subtractSymmetricProducts } from './linear/row-products.ts';
export { type SymmetricEigen, symmetricEigen } from './linear/symmetric-eigen.ts';
export { lowerMedian, median, medianInPlace } from './median.ts';
export {
  centralDifferences,
  type Differences,
  differencesAlongAxes,
  slopeAlong,
} from './optimise/central-differences.ts';
export {
  COARSE_ENOUGH,
  COARSE_STEP,
  FINE_STEP,
  isSettled,
  type MinimumByDifferences,
  minimiseByDifferences,
  polished,
} from './optimise/minimise-by-differences.ts';
export {
  type FirstOrder,
  minimiseQuasiNewton,
  type QuasiNewtonMinimum,
  type QuasiNewtonOptions,
} from './optimise/quasi-newton.ts';
export { type Minimum, minimiseInTrustRegion, type SecondOrder } from './optimise/trust-region.ts';
export { quantileOfSorted } from './quantile.ts';
export { chiSquaredDraw } from './random/chi-squared.ts';
export { multivariateNormal } from './random/multivariate-normal.ts';
export { createStream, type Stream } from './random/stream.ts';
export {
  butterworthLowPass,
  filterInPlace,
  filterTwoPass,
  type SecondOrderFilter,
  twoPassDesignCutoff,
} from './signal/butterworth.ts';
export {
  type CubicSpline,
  cubicSpline,
  evaluateSpline,
  splineDerivative,
  splineWeights,
} from './signal/cubic-spline.ts';
export { difference } from './signal/difference.ts';
export { localPolynomialWeights } from './signal/local-polynomial.ts';
export { startWorker } from './threads/start-worker.ts';
