/**
 * Eigenvalues and eigenvectors of a small dense symmetric matrix by cyclic Jacobi rotations, which find even
 * the smallest eigenvalues of a well-scaled matrix to high relative accuracy.
 * Source: Golub and Van Loan, Matrix Computations, 4th ed., section 8.5.
 */

export interface SymmetricEigen {
  /** In ascending order. */
  readonly values: Float64Array;
  /** Row-major n x n; column k belongs to `values[k]`. */
  readonly vectors: Float64Array;
}

/**
 * Eigen-decomposition of the symmetric n x n matrix `a` (row-major, not changed).
 *
 * Throws when an entry is not finite.
 *
 * @example symmetricEigen(Float64Array.of(2, 1, 1, 2), 2).values // [1, 3]
 */
export function symmetricEigen(a: Float64Array, n: number): SymmetricEigen {
  const m = Float64Array.from(a);
  for (let i = 0; i < n * n; i++)
    if (!Number.isFinite(m[i]!)) throw new Error('symmetricEigen: the matrix must be finite');
  const v = new Float64Array(n * n);
  for (let i = 0; i < n; i++) v[i * n + i] = 1;
  for (let round = 0; round < 60; round++) {
    let off = 0;
    let on = 0;
    for (let i = 0; i < n; i++) {
      on += m[i * n + i]! ** 2;
      for (let j = i + 1; j < n; j++) off += m[i * n + j]! ** 2;
    }
    if (off <= 1e-34 * (on + off)) break;
    for (let p = 0; p < n - 1; p++) for (let q = p + 1; q < n; q++) rotate(m, v, n, p, q);
  }
  const order = Array.from({ length: n }, (_, i) => i).sort((i, j) => m[i * n + i]! - m[j * n + j]!);
  const values = new Float64Array(n);
  const vectors = new Float64Array(n * n);
  order.forEach((from, to) => {
    values[to] = m[from * n + from]!;
    for (let i = 0; i < n; i++) vectors[i * n + to] = v[i * n + from]!;
  });
  return { values, vectors };
}

/** One rotation that makes entry (p, q) of `m` zero, gathered into `v`. */
function rotate(m: Float64Array, v: Float64Array, n: number, p: number, q: number): void {
  const apq = m[p * n + q]!;
  if (apq === 0) return;
  const tau = (m[q * n + q]! - m[p * n + p]!) / (2 * apq);
  const t = (tau >= 0 ? 1 : -1) / (Math.abs(tau) + Math.sqrt(1 + tau * tau));
  const c = 1 / Math.sqrt(1 + t * t);
  const s = t * c;
  for (let k = 0; k < n; k++) {
    const kp = m[k * n + p]!;
    const kq = m[k * n + q]!;
    m[k * n + p] = c * kp - s * kq;
    m[k * n + q] = s * kp + c * kq;
  }
  for (let k = 0; k < n; k++) {
    const pk = m[p * n + k]!;
    const qk = m[q * n + k]!;
    m[p * n + k] = c * pk - s * qk;
    m[q * n + k] = s * pk + c * qk;
    const vp = v[k * n + p]!;
    const vq = v[k * n + q]!;
    v[k * n + p] = c * vp - s * vq;
    v[k * n + q] = s * vp + c * vq;
  }
}
