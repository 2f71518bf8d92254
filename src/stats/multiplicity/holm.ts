/**
 * P-values adjusted so that the chance of any false finding among them is at most the level they are compared with,
 * whatever their dependence: the smallest times m, the next times m - 1, and so on, never falling. NaN stays NaN
 * and is not counted.
 * Source: Holm (1979), Scandinavian J Statistics 6, 65-70.
 *
 * Throws RangeError when a p-value lies outside [0, 1].
 *
 * @example holm([0.01, 0.04, 0.03]) // [0.03, 0.06, 0.06]
 */
export function holm(pValues: readonly number[]): number[] {
  const order = ranked('holm', pValues);
  const m = order.length;
  const out = pValues.map(() => Number.NaN);
  let least = 0;
  order.forEach((index, place) => {
    least = Math.max(least, Math.min(1, (m - place) * pValues[index]!));
    out[index] = least;
  });
  return out;
}

/** The places of the p-values that are numbers, smallest first. */
export function ranked(caller: string, pValues: readonly number[]): number[] {
  for (const p of pValues)
    if (p < 0 || p > 1) throw new RangeError(`${caller}: p-values lie in [0, 1]; found ${p}`);
  return pValues
    .map((_, index) => index)
    .filter((index) => !Number.isNaN(pValues[index]!))
    .sort((a, b) => pValues[a]! - pValues[b]!);
}
