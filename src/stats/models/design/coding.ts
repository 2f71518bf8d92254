import type { Coding } from '../contract.ts';

/** A factor with its levels and the columns that stand for it. */
export interface Factor {
  readonly column: string;
  readonly levels: readonly string[];
  readonly coding: Coding;
}

/**
 * Codes of a factor with L levels, L x (L - 1), row-major. Column k always belongs to level k + 1.
 * - reference: 1 for that level, otherwise 0. The coefficient is that level minus the first.
 * - sum: 1 for that level, -1 for the first. The coefficient is that level minus the mean of all levels.
 * - helmert: the coefficient is that level minus the mean of the levels before it.
 *
 * @example codesOf('helmert', 3) // [-1/2, -1/3, 1/2, -1/3, 0, 2/3]
 */
export function codesOf(coding: Coding, levels: number): Float64Array {
  const columns = levels - 1;
  const codes = new Float64Array(levels * columns);
  for (let k = 0; k < columns; k++) {
    if (coding === 'helmert') {
      for (let level = 0; level <= k; level++) codes[level * columns + k] = -1 / (k + 2);
      codes[(k + 1) * columns + k] = (k + 1) / (k + 2);
    } else {
      codes[(k + 1) * columns + k] = 1;
      if (coding === 'sum') codes[k] = -1;
    }
  }
  return codes;
}
