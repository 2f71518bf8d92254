/** Where a matrix stored row by row inside a larger array begins, and how far apart its rows are. */
export interface Rows {
  readonly of: Float64Array;
  readonly at: number;
  readonly stride: number;
}

/**
 * C -= A B', the rows of A and B being `inner` long: C is m x n, A m x inner, B n x inner. Blocks of three by
 * three rows keep nine sums in registers, which makes plain typed arrays several times as fast as one sum at a time;
 * callers cut large products so that the rows of B stay in the cache.
 *
 * @example
 * const [c, a, b] = [[10], [1, 2], [3, 4]].map((row) => ({ of: Float64Array.from(row), at: 0, stride: row.length }));
 * subtractRowProducts(c!, a!, b!, 1, 1, 2);
 * c!.of // [-1]
 */
export function subtractRowProducts(c: Rows, a: Rows, b: Rows, m: number, n: number, inner: number): void {
  const C = c.of;
  const A = a.of;
  const B = b.of;
  let i = 0;
  for (; i + 3 <= m; i += 3) {
    const a0 = a.at + i * a.stride;
    const a1 = a0 + a.stride;
    const a2 = a1 + a.stride;
    const c0 = c.at + i * c.stride;
    const c1 = c0 + c.stride;
    const c2 = c1 + c.stride;
    let j = 0;
    for (; j + 3 <= n; j += 3) {
      const b0 = b.at + j * b.stride;
      const b1 = b0 + b.stride;
      const b2 = b1 + b.stride;
      let s00 = 0;
      let s01 = 0;
      let s02 = 0;
      let s10 = 0;
      let s11 = 0;
      let s12 = 0;
      let s20 = 0;
      let s21 = 0;
      let s22 = 0;
      for (let k = 0; k < inner; k++) {
        const y0 = B[b0 + k]!;
        const y1 = B[b1 + k]!;
        const y2 = B[b2 + k]!;
        let x = A[a0 + k]!;
        s00 += x * y0;
        s01 += x * y1;
        s02 += x * y2;
        x = A[a1 + k]!;
        s10 += x * y0;
        s11 += x * y1;
        s12 += x * y2;
        x = A[a2 + k]!;
        s20 += x * y0;
        s21 += x * y1;
        s22 += x * y2;
      }
      C[c0 + j] = C[c0 + j]! - s00;
      C[c0 + j + 1] = C[c0 + j + 1]! - s01;
      C[c0 + j + 2] = C[c0 + j + 2]! - s02;
      C[c1 + j] = C[c1 + j]! - s10;
      C[c1 + j + 1] = C[c1 + j + 1]! - s11;
      C[c1 + j + 2] = C[c1 + j + 2]! - s12;
      C[c2 + j] = C[c2 + j]! - s20;
      C[c2 + j + 1] = C[c2 + j + 1]! - s21;
      C[c2 + j + 2] = C[c2 + j + 2]! - s22;
    }
    for (; j < n; j++) {
      const b0 = b.at + j * b.stride;
      let s0 = 0;
      let s1 = 0;
      let s2 = 0;
      for (let k = 0; k < inner; k++) {
        const y = B[b0 + k]!;
        s0 += A[a0 + k]! * y;
        s1 += A[a1 + k]! * y;
        s2 += A[a2 + k]! * y;
      }
      C[c0 + j] = C[c0 + j]! - s0;
      C[c1 + j] = C[c1 + j]! - s1;
      C[c2 + j] = C[c2 + j]! - s2;
    }
  }
  for (; i < m; i++) {
    const a0 = a.at + i * a.stride;
    const c0 = c.at + i * c.stride;
    for (let j = 0; j < n; j++) {
      const b0 = b.at + j * b.stride;
      let sum = 0;
      for (let k = 0; k < inner; k++) sum += A[a0 + k]! * B[b0 + k]!;
      C[c0 + j] = C[c0 + j]! - sum;
    }
  }
}

/** Rows of B handled together: with rows of about fifty numbers they fill half of a small first-level cache. */
const TILE = 96;

/**
 * The lower triangle (and, inside blocks on the diagonal, a little of the upper) of C -= A B', C n x n. Either A and B
 * are the same or their product is known to be symmetric.
 *
 * @example
 * const rows = (...entries: number[]) => ({ of: Float64Array.from(entries), at: 0, stride: 2 });
 * const [c, a] = [rows(10, 0, 12, 30), rows(1, 2, 3, 4)];
 * subtractSymmetricProducts(c, a, a, 2, 2);
 * [c.of[0], c.of[2], c.of[3]] // [5, 1, 5]: 10 - 5, 12 - 11, 30 - 25
 */
export function subtractSymmetricProducts(c: Rows, a: Rows, b: Rows, n: number, inner: number): void {
  for (let i = 0; i < n; i += TILE) {
    const m = Math.min(TILE, n - i);
    for (let j = 0; j <= i; j += TILE)
      subtractRowProducts(
        { of: c.of, at: c.at + i * c.stride + j, stride: c.stride },
        { of: a.of, at: a.at + i * a.stride, stride: a.stride },
        { of: b.of, at: b.at + j * b.stride, stride: b.stride },
        m,
        Math.min(TILE, n - j),
        inner,
      );
  }
}
