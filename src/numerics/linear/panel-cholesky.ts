import { type Rows, subtractRowProducts } from './row-products.ts';

/** Columns factored at a time. */
const STRIP = 36;
/** Rows updated at a time. */
const TILE = 96;

/**
 * Cholesky factorisation of the first `pivots` columns of a symmetric matrix of which only these columns (`rows` x
 * `pivots`, row by row, rows >= pivots) are stored: the square on top becomes its lower factor L, the rows below it become
 * their product with L^-T. What lies above the diagonal is overwritten. Strips of columns are factored one after
 * another and taken out of all later columns together. Returns false where a pivot is not positive.
 * Source: Golub and Van Loan, Matrix Computations, 4th ed., section 4.2.6.
 *
 * @example
 * const panel = Float64Array.of(4, 2, 6);
 * factorPanel(panel, 0, 3, 1) // true
 * panel // [2, 1, 3]
 */
export function factorPanel(panel: Float64Array, at: number, rows: number, pivots: number): boolean {
  for (let start = 0; start < pivots; start += STRIP) {
    const end = Math.min(start + STRIP, pivots);
    for (let i = start; i < rows; i++) {
      const row = at + i * pivots;
      const stop = Math.min(i, end);
      for (let j = start; j < stop; j++) {
        const other = at + j * pivots;
        let sum = panel[row + j]!;
        for (let k = start; k < j; k++) sum -= panel[row + k]! * panel[other + k]!;
        panel[row + j] = sum / panel[other + j]!;
      }
      if (i >= end) continue;
      let pivot = panel[row + i]!;
      for (let k = start; k < i; k++) pivot -= panel[row + k]! * panel[row + k]!;
      if (!(pivot > 0)) return false;
      panel[row + i] = Math.sqrt(pivot);
    }
    for (let i = end; i < rows; i += TILE) {
      const height = Math.min(TILE, rows - i);
      const from: Rows = { of: panel, at: at + i * pivots + start, stride: pivots };
      for (let j = end; j < Math.min(i + height, pivots); j += TILE)
        subtractRowProducts(
          { of: panel, at: at + i * pivots + j, stride: pivots },
          from,
          { of: panel, at: at + j * pivots + start, stride: pivots },
          height,
          Math.min(TILE, pivots - j),
          end - start,
        );
    }
  }
  return true;
}

/**
 * The transposed inverse of the lower factor on top of a panel, row by row into `out` (pivots x pivots, upper triangle;
 * the rest zero): row j holds column j of L^-1.
 *
 * @example
 * const out = new Float64Array(1);
 * inverseTransposed(Float64Array.of(2), 0, 1, out);
 * out // [0.5]
 */
export function inverseTransposed(panel: Float64Array, at: number, pivots: number, out: Float64Array): void {
  const n = pivots;
  out.fill(0, 0, n * n);
  for (let start = 0; start < n; start += STRIP) {
    const end = Math.min(start + STRIP, n);
    // out[j, strip] = -(sum over earlier columns of L[strip, k] out[j, k]), then the strip's own triangle.
    for (let j = 0; j < start; j += STRIP)
      subtractRowProducts(
        { of: out, at: j * n + start, stride: n },
        { of: out, at: j * n + j, stride: n },
        { of: panel, at: at + start * n + j, stride: n },
        Math.min(STRIP, start - j),
        end - start,
        start - j,
      );
    for (let j = 0; j < end; j++) {
      const row = j * n;
      if (j >= start) out[row + j] = 1 / panel[at + j * n + j]!;
      for (let i = Math.max(start, j + 1); i < end; i++) {
        const own = at + i * n;
        let sum = out[row + i]!;
        for (let k = Math.max(start, j); k < i; k++) sum -= panel[own + k]! * out[row + k]!;
        out[row + i] = sum / panel[own + i]!;
      }
    }
  }
}
