/**
 * Cholesky factorisation of small dense symmetric matrices, stored row by row in a Float64Array.
 * Source: Golub and Van Loan, Matrix Computations, 4th ed., algorithm 4.2.1.
 */

/**
 * Replaces the lower triangle of the symmetric n x n matrix `a` by L with L L' = a (the upper triangle is left
 * alone). Returns false, with `a` partly overwritten, when the matrix is not positive definite.
 *
 * @example
 * const a = Float64Array.of(4, 2, 2, 5);
 * choleskyInPlace(a, 2) // true
 * a // [2, 2, 1, 2]
 */
export function choleskyInPlace(a: Float64Array, n: number): boolean {
  for (let i = 0; i < n; i++) {
    const rowI = i * n;
    for (let j = 0; j < i; j++) {
      const rowJ = j * n;
      let sum = a[rowI + j]!;
      for (let k = 0; k < j; k++) sum -= a[rowI + k]! * a[rowJ + k]!;
      a[rowI + j] = sum / a[rowJ + j]!;
    }
    let pivot = a[rowI + i]!;
    for (let k = 0; k < i; k++) pivot -= a[rowI + k]! * a[rowI + k]!;
    if (!(pivot > 0)) return false;
    a[rowI + i] = Math.sqrt(pivot);
  }
  return true;
}

/**
 * Twice the sum of the logarithms of the diagonal of L: the log determinant of L L'.
 * @example Math.exp(logDeterminantOfFactor(Float64Array.of(2, 0, 1, 2), 2)) // 16: the determinant of [4, 2, 2, 5]
 */
export function logDeterminantOfFactor(l: Float64Array, n: number): number {
  let sum = 0;
  for (let i = 0; i < n; i++) sum += Math.log(l[i * n + i]!);
  return 2 * sum;
}

/**
 * Overwrites `b` (length n, at `offset` with the given `stride`) by the solution of L x = b, L lower triangular, n x n,
 * row by row; what stands above its diagonal is not read.
 *
 * @example
 * const b = Float64Array.of(8, 12);
 * solveLower(Float64Array.of(2, 0, 1, 2), 2, b);
 * b // [4, 4]: 2 x 4 = 8 and 4 + 2 x 4 = 12
 */
export function solveLower(l: Float64Array, n: number, b: Float64Array, offset = 0, stride = 1): void {
  for (let i = 0; i < n; i++) {
    let sum = b[offset + i * stride]!;
    for (let k = 0; k < i; k++) sum -= l[i * n + k]! * b[offset + k * stride]!;
    b[offset + i * stride] = sum / l[i * n + i]!;
  }
}

/**
 * Overwrites `b` by the solution of L' x = b, L as for {@link solveLower}: after that one, the solution of L L' x = b.
 *
 * @example
 * const l = Float64Array.of(2, 0, 1, 2); // of [4, 2, 2, 5]
 * const b = Float64Array.of(8, 12);
 * solveLower(l, 2, b);
 * solveLowerTransposed(l, 2, b);
 * b // [1, 2]: 4 + 2 x 2 = 8 and 2 + 5 x 2 = 12
 */
export function solveLowerTransposed(
  l: Float64Array,
  n: number,
  b: Float64Array,
  offset = 0,
  stride = 1,
): void {
  for (let i = n - 1; i >= 0; i--) {
    let sum = b[offset + i * stride]!;
    for (let k = i + 1; k < n; k++) sum -= l[k * n + i]! * b[offset + k * stride]!;
    b[offset + i * stride] = sum / l[i * n + i]!;
  }
}

/**
 * The inverse of a symmetric positive definite n x n matrix (both triangles filled), or null where it is not
 * positive definite. The argument is not changed.
 *
 * @example inverseOfPositiveDefinite(Float64Array.of(4, 2, 2, 5), 2) // [0.3125, -0.125, -0.125, 0.25]
 */
export function inverseOfPositiveDefinite(a: Float64Array, n: number): Float64Array | null {
  const l = Float64Array.from(a);
  if (!choleskyInPlace(l, n)) return null;
  const inverse = new Float64Array(n * n);
  for (let j = 0; j < n; j++) {
    inverse[j * n + j] = 1;
    solveLower(l, n, inverse, j, n);
    solveLowerTransposed(l, n, inverse, j, n);
  }
  for (let i = 0; i < n; i++)
    for (let j = 0; j < i; j++) {
      const mean = 0.5 * (inverse[i * n + j]! + inverse[j * n + i]!);
      inverse[i * n + j] = mean;
      inverse[j * n + i] = mean;
    }
  return inverse;
}
