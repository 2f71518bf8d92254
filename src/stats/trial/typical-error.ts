import { moments } from './moments.ts';

/**
 * Typical error of one measurement, from changes of units to which nothing special was done:
 * SD of the changes / sqrt 2 (Hopkins 2000, Sports Med 30:1-15). Null below two changes.
 *
 * @example typicalErrorOfChanges([1, -1, 2, -2, 0]) // 1.118
 */
export function typicalErrorOfChanges(changes: readonly number[]): number | null {
  const sd = moments(changes)?.sd ?? null;
  return sd === null ? null : sd / Math.SQRT2;
}

/**
 * SD of true differences between units, the noise of the measured means taken out first:
 * sqrt(SD_observed^2 - noise variance), 0 where the noise explains all of it (Hopkins 2004, Sportscience 8:1-7).
 *
 * @example pureBetweenSd(5, 9) // 4
 */
export function pureBetweenSd(observedSd: number, noiseVariance: number): number {
  return Math.sqrt(Math.max(0, observedSd ** 2 - noiseVariance));
}
