import { ranked } from './holm.ts';

/**
 * P-values adjusted so that the expected share of false findings among those below the level is at most the
 * level, for independent or positively dependent tests: the j-th smallest of m times m / j, never above a
 * larger one's. NaN stays NaN and is not counted.
 * Source: Benjamini and Hochberg (1995), J Royal Statistical Society B 57, 289-300.
 *
 * Throws RangeError when a p-value lies outside [0, 1].
 *
 * @example benjaminiHochberg([0.01, 0.04, 0.03]) // [0.03, 0.04, 0.04]
 */
export function benjaminiHochberg(pValues: readonly number[]): number[] {
  const order = ranked('benjaminiHochberg', pValues);
  const m = order.length;
  const out = pValues.map(() => Number.NaN);
  let most = 1;
  for (let place = m - 1; place >= 0; place--) {
    const index = order[place]!;
    most = Math.min(most, (m / (place + 1)) * pValues[index]!);
    out[index] = most;
  }
  return out;
}
