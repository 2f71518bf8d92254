/**
 * Thin QR decomposition by Gram-Schmidt with every column orthogonalised twice, which leaves Q orthogonal to
 * working precision whatever the condition of the matrix.
 * Source: Giraud, Langou and Rozloznik (2005), Computers and Mathematics with Applications 50, 1069-1075.
 */

export interface OrthogonalColumns {
  /** n x p, column after column; orthonormal. Columns that depend on earlier ones are zero. */
  readonly q: Float64Array;
  /** p x p upper triangle, row-major, with X = Q R. */
  readonly r: Float64Array;
  /** Columns that are a combination of earlier ones (to `tolerance` of their own length). */
  readonly dependent: readonly number[];
}

/**
 * Decomposes the n x p matrix `x` (column after column, not changed). Column scales may differ wildly: whether
 * a column depends on the others is judged against its own length.
 *
 * @example orthogonalColumns(Float64Array.of(3, 4, 1, 1), 2, 2).r // [5, 1.4, 0, 0.2]
 */
export function orthogonalColumns(
  x: Float64Array,
  n: number,
  p: number,
  tolerance = 1e-12,
): OrthogonalColumns {
  const q = Float64Array.from(x);
  const r = new Float64Array(p * p);
  const dependent: number[] = [];
  for (let j = 0; j < p; j++) {
    const column = j * n;
    const length = norm(q, column, n);
    for (let pass = 0; pass < 2; pass++)
      for (let k = 0; k < j; k++) {
        if (r[k * p + k] === 0) continue;
        const other = k * n;
        let dot = 0;
        for (let i = 0; i < n; i++) dot += q[other + i]! * q[column + i]!;
        for (let i = 0; i < n; i++) q[column + i] = q[column + i]! - dot * q[other + i]!;
        r[k * p + j] = r[k * p + j]! + dot;
      }
    const left = norm(q, column, n);
    if (!(left > tolerance * length)) {
      dependent.push(j);
      q.fill(0, column, column + n);
      continue;
    }
    r[j * p + j] = left;
    for (let i = 0; i < n; i++) q[column + i] = q[column + i]! / left;
  }
  return { q, r, dependent };
}

/** Euclidean length of n entries from `offset`, safe against overflow and underflow. */
function norm(a: Float64Array, offset: number, n: number): number {
  let square = 0;
  for (let i = 0; i < n; i++) square += a[offset + i]! * a[offset + i]!;
  if (square > 1e-200 && square < 1e200) return Math.sqrt(square);
  let largest = 0;
  for (let i = 0; i < n; i++) largest = Math.max(largest, Math.abs(a[offset + i]!));
  if (largest === 0) return 0;
  let sum = 0;
  for (let i = 0; i < n; i++) sum += (a[offset + i]! / largest) ** 2;
  return largest * Math.sqrt(sum);
}

/**
 * Overwrites `b` (length p, at `offset` with the given `stride`) by the solution of R x = b, R upper triangular, p x p,
 * row by row; what stands below its diagonal is not read. A zero on the diagonal leaves no finite solution.
 *
 * @example
 * const b = Float64Array.of(4, 8);
 * solveUpper(Float64Array.of(2, 1, 0, 4), 2, b);
 * b // [1, 2]: 2 x 1 + 2 = 4 and 4 x 2 = 8
 */
export function solveUpper(r: Float64Array, p: number, b: Float64Array, offset = 0, stride = 1): void {
  for (let i = p - 1; i >= 0; i--) {
    let sum = b[offset + i * stride]!;
    for (let k = i + 1; k < p; k++) sum -= r[i * p + k]! * b[offset + k * stride]!;
    b[offset + i * stride] = sum / r[i * p + i]!;
  }
}

/**
 * Overwrites `b` by the solution of R' x = b, R as for {@link solveUpper}.
 *
 * @example
 * const b = Float64Array.of(4, 10);
 * solveUpperTransposed(Float64Array.of(2, 1, 0, 4), 2, b);
 * b // [2, 2]: 2 x 2 = 4 and 2 + 4 x 2 = 10
 */
export function solveUpperTransposed(
  r: Float64Array,
  p: number,
  b: Float64Array,
  offset = 0,
  stride = 1,
): void {
  for (let i = 0; i < p; i++) {
    let sum = b[offset + i * stride]!;
    for (let k = 0; k < i; k++) sum -= r[k * p + i]! * b[offset + k * stride]!;
    b[offset + i * stride] = sum / r[i * p + i]!;
  }
}
