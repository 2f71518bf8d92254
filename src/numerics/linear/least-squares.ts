import {
  type OrthogonalColumns,
  orthogonalColumns,
  solveUpper,
  solveUpperTransposed,
} from './orthogonal-columns.ts';

/**
 * A least squares fit: coefficients in the order of the columns, residuals in the order of the rows, and the
 * decomposition that gave both.
 */
export interface LeastSquares {
  readonly coefficients: Float64Array;
  readonly residuals: Float64Array;
  readonly residualSumOfSquares: number;
  readonly decomposition: OrthogonalColumns;
}

/**
 * Least squares of `y` (length n) on the n x p matrix `x` (column after column): QR, then the coefficients and
 * residuals are refined together with residuals summed in about twice the working precision, so that an
 * ill-conditioned design loses no digits that the data still hold.
 * `rounds` is the number of corrections; 0 leaves plain QR.
 * `coefficients` is meaningless where `decomposition.dependent` is not empty: the caller must look.
 * Source: Bjorck (1967), BIT 7, 257-278 (refinement of the augmented system); Dekker (1971) and Knuth (two-sum)
 * for the sums.
 *
 * @example leastSquares(Float64Array.of(1, 1, 1, 1, 2, 3), Float64Array.of(2, 4, 6), 2).coefficients // [0, 2]
 */
export function leastSquares(
  x: Float64Array,
  y: Float64Array,
  p: number,
  decomposition: OrthogonalColumns = orthogonalColumns(x, y.length, p),
  rounds = 3,
): LeastSquares {
  const n = y.length;
  const { q, r } = decomposition;
  const beta = new Float64Array(p);
  const residuals = Float64Array.from(y);
  for (let k = 0; k < p; k++) {
    let dot = 0;
    for (let i = 0; i < n; i++) dot += q[k * n + i]! * residuals[i]!;
    beta[k] = dot;
    for (let i = 0; i < n; i++) residuals[i] = residuals[i]! - dot * q[k * n + i]!;
  }
  const sumOfSquares = () => {
    let sum = 0;
    for (let i = 0; i < n; i++) sum += residuals[i]! * residuals[i]!;
    return sum;
  };
  if (decomposition.dependent.length > 0)
    return { coefficients: beta, residuals, residualSumOfSquares: sumOfSquares(), decomposition };
  solveUpper(r, p, beta);
  for (let round = 0; round < rounds; round++) refine(x, y, p, decomposition, beta, residuals);
  return { coefficients: beta, residuals, residualSumOfSquares: sumOfSquares(), decomposition };
}

/** One correction of coefficients and residuals together. */
function refine(
  x: Float64Array,
  y: Float64Array,
  p: number,
  { q, r }: OrthogonalColumns,
  beta: Float64Array,
  residuals: Float64Array,
): void {
  const n = y.length;
  const f = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const sum = twofoldSum(y[i]!, -residuals[i]!);
    for (let k = 0; k < p; k++) sum.addProduct(-x[k * n + i]!, beta[k]!);
    f[i] = sum.value();
  }
  const z = new Float64Array(p);
  for (let k = 0; k < p; k++) {
    const sum = twofoldSum(0, 0);
    for (let i = 0; i < n; i++) sum.addProduct(-x[k * n + i]!, residuals[i]!);
    z[k] = sum.value();
  }
  solveUpperTransposed(r, p, z);
  const change = new Float64Array(p);
  const along = new Float64Array(p);
  for (let k = 0; k < p; k++) {
    let dot = 0;
    for (let i = 0; i < n; i++) dot += q[k * n + i]! * f[i]!;
    along[k] = dot - z[k]!;
    change[k] = along[k]!;
  }
  solveUpper(r, p, change);
  for (let k = 0; k < p; k++) {
    beta[k] = beta[k]! + change[k]!;
    for (let i = 0; i < n; i++) f[i] = f[i]! - along[k]! * q[k * n + i]!;
  }
  for (let i = 0; i < n; i++) residuals[i] = residuals[i]! + f[i]!;
}

/** A running sum of products held in two doubles. */
function twofoldSum(first: number, second: number) {
  let high = 0;
  let low = 0;
  const add = (x: number): void => {
    const sum = high + x;
    const back = sum - high;
    low += high - (sum - back) + (x - back);
    high = sum;
  };
  add(first);
  add(second);
  return {
    addProduct(a: number, b: number): void {
      const product = a * b;
      const error = productError(a, b, product);
      add(product);
      low += Number.isFinite(error) ? error : 0;
    },
    value: () => high + low,
  };
}

/** a * b - product, exactly (Dekker's splitting). */
function productError(a: number, b: number, product: number): number {
  const ca = 134217729 * a;
  const aHigh = ca - (ca - a);
  const aLow = a - aHigh;
  const cb = 134217729 * b;
  const bHigh = cb - (cb - b);
  const bLow = b - bHigh;
  return aLow * bLow - (product - aHigh * bHigh - aLow * bHigh - aHigh * bLow);
}
