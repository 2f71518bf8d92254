import type { SparsePattern } from './sparse-pattern.ts';

/** A Cholesky factor L L' = A on a fixed pattern, refilled again and again without new memory. */
export interface SparseFactor {
  /** The matrix's lower triangle at the pattern's places; `factor` replaces it by L. */
  readonly entries: Float64Array;
  /** Entries of A^-1 at the pattern's places, after `invert`. */
  readonly inverse: Float64Array;
  /** Factorises; false when the matrix is not positive definite. */
  factor(): boolean;
  logDeterminant(): number;
  /** Overwrites `b` by A^-1 b. */
  solve(b: Float64Array): void;
  invert(): void;
}

/**
 * Left-looking factorisation, and the entries of the inverse on the factor's pattern without the others.
 * Source of the latter: Takahashi, Fagan and Chen (1973), 8th PICA Conference, 63-69.
 */
export function sparseFactor({
  size,
  start,
  row,
  leftStart,
  leftPlace,
  leftEnd,
}: SparsePattern): SparseFactor {
  const entries = new Float64Array(row.length);
  const inverse = new Float64Array(row.length);
  const work = new Float64Array(size);
  const local = new Int32Array(size).fill(-1);

  return {
    entries,
    inverse,
    factor() {
      for (let j = 0; j < size; j++) {
        const from = start[j]!;
        const to = start[j + 1]!;
        const firstLeft = leftStart[j]!;
        const lastLeft = leftStart[j + 1]!;
        if (lastLeft > firstLeft) {
          for (let t = from; t < to; t++) work[row[t]!] = entries[t]!;
          for (let u = firstLeft; u < lastLeft; u++) {
            const place = leftPlace[u]!;
            const end = leftEnd[u]!;
            const x = entries[place]!;
            if (x === 0) continue;
            for (let t = place; t < end; t++) work[row[t]!] = work[row[t]!]! - x * entries[t]!;
          }
          for (let t = from; t < to; t++) entries[t] = work[row[t]!]!;
        }
        const pivot = entries[from]!;
        if (!(pivot > 0 && pivot < Number.POSITIVE_INFINITY)) return false;
        const root = Math.sqrt(pivot);
        entries[from] = root;
        for (let t = from + 1; t < to; t++) entries[t] = entries[t]! / root;
      }
      return true;
    },
    logDeterminant() {
      let sum = 0;
      for (let j = 0; j < size; j++) sum += Math.log(entries[start[j]!]!);
      return 2 * sum;
    },
    solve(b) {
      for (let j = 0; j < size; j++) {
        const x = b[j]! / entries[start[j]!]!;
        b[j] = x;
        for (let t = start[j]! + 1; t < start[j + 1]!; t++) b[row[t]!] = b[row[t]!]! - x * entries[t]!;
      }
      for (let j = size - 1; j >= 0; j--) {
        let sum = b[j]!;
        for (let t = start[j]! + 1; t < start[j + 1]!; t++) sum -= entries[t]! * b[row[t]!]!;
        b[j] = sum / entries[start[j]!]!;
      }
    },
    invert() {
      for (let j = size - 1; j >= 0; j--) {
        const from = start[j]!;
        const below = start[j + 1]! - from - 1;
        const root = entries[from]!;
        for (let k = 0; k < below; k++) {
          local[row[from + 1 + k]!] = k;
          work[k] = 0;
        }
        for (let k = 0; k < below; k++) {
          const other = row[from + 1 + k]!;
          const x = entries[from + 1 + k]!;
          let own = inverse[start[other]!]! * x;
          for (let t = start[other]! + 1; t < start[other + 1]!; t++) {
            const l = local[row[t]!]!;
            if (l < 0) continue;
            work[l] = work[l]! + inverse[t]! * x;
            own += inverse[t]! * entries[from + 1 + l]!;
          }
          work[k] = work[k]! + own;
        }
        let diagonal = 1 / root;
        for (let k = 0; k < below; k++) {
          const value = -work[k]! / root;
          inverse[from + 1 + k] = value;
          diagonal -= entries[from + 1 + k]! * value;
          local[row[from + 1 + k]!] = -1;
        }
        inverse[from] = diagonal / root;
      }
    },
  };
}
