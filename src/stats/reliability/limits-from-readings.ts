import { moments } from '../trial/moments.ts';
import { checkValues } from './check-values.ts';
import type { LimitsOfAgreement, LimitsOptions } from './limits-of-agreement.ts';
import { recovered } from './recovered-limits.ts';

/** Readings of one method on one unit, in no order. */
export interface UnpairedReadings {
  readonly unit: string;
  readonly first: readonly number[];
  readonly second: readonly number[];
}

/**
 * Limits of agreement of single readings where each unit was read several times by each method, not at the same moments,
 * and what is measured does not move. The SD of a single difference is the root of
 * var(difference of unit means) + (1 - mean 1/m1) sw1^2 + (1 - mean 1/m2) sw2^2.
 * Differences are first minus second, in the unit of the readings. Intervals as in `limitsFromPairs`. Null below two units,
 * or where there is a method by which no unit has two readings.
 *
 * Source: Bland and Altman 1999, Stat Methods Med Res 8:135-160, section 5.2; intervals: Zou 2013, as above.
 *
 * @throws Error for a unit without a reading by one method, a reading that is not finite, or a level outside (0, 1)
 * @example
 * const readings = [
 *   { unit: 'G01', first: [10, 12], second: [8, 10] },
 *   { unit: 'G02', first: [14, 16], second: [15, 17] },
 *   { unit: 'G03', first: [20, 22], second: [17, 19] },
 * ];
 * // Differences of means 2, -1 and 3 with variance 13/3, and half of both variances within, 2 each: SD sqrt(19/3).
 * limitsFromReadings(readings) // { mean: { value: 4/3, ... }, sd: 2.5166, lower: { value: -3.599, ... }, upper: { value: 6.266, ... }, ... }
 */
export function limitsFromReadings(
  readings: readonly UnpairedReadings[],
  options: LimitsOptions = {},
): LimitsOfAgreement | null {
  checkValues(
    'limitsFromReadings',
    readings.flatMap(({ first, second }) => [...first, ...second]),
    options.level ?? 0.95,
  );
  if (readings.some(({ first, second }) => first.length === 0 || second.length === 0))
    throw new Error('limitsFromReadings: every unit needs a reading by both methods');
  const between = moments(readings.map(({ first, second }) => moments(first)!.mean - moments(second)!.mean));
  if (between === null || between.sd === null) return null;
  const noises = (['first', 'second'] as const).map((method) => {
    let squares = 0;
    let degreesOfFreedom = 0;
    let share = 0;
    for (const reading of readings) {
      const sample = moments(reading[method])!;
      squares += (sample.n - 1) * (sample.sd ?? 0) ** 2;
      degreesOfFreedom += sample.n - 1;
      share += 1 / sample.n / readings.length;
    }
    return {
      variance: degreesOfFreedom === 0 ? null : squares / degreesOfFreedom,
      weight: 1 - share,
      degreesOfFreedom,
    };
  });
  const known = noises.flatMap(({ variance, ...rest }) => (variance === null ? [] : [{ variance, ...rest }]));
  if (known.length < 2) return null;
  const pairs = readings.reduce((sum, { first, second }) => sum + Math.min(first.length, second.length), 0);
  return recovered(
    { mean: between.mean, between: between.sd ** 2, units: readings.length },
    known,
    pairs,
    options,
  );
}
