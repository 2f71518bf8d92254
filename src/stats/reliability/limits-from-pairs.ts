import { moments } from '../trial/moments.ts';
import { checkValues } from './check-values.ts';
import type { LimitsOfAgreement, LimitsOptions } from './limits-of-agreement.ts';
import { nestedNoise, varianceOf } from './nested-noise.ts';
import { around, recovered } from './recovered-limits.ts';

/**
 * Limits of agreement from several pairs for each unit, each pair taken at one moment while what is measured may move.
 * The differences have a variance between units and one within: the SD of a single difference is the root of their
 * sum. Between units it is that of the unit means less what pairs add to it, by unweighted means.
 * Intervals recover the variance estimates of mean and SD (Zou's MOVER), so they are not symmetrical. Null below two
 * units. With one pair in each unit only the way to the intervals differs from `limitsOfAgreement`. Where pairs were
 * taken on several occasions (`occasion`, within its unit), an occasion is a source of variance of its own: the three
 * are summed with their modified large sample interval (`varianceOf`).
 *
 * Source: Bland and Altman 2007, J Biopharm Stat 17:571-582, section 3; intervals: Zou 2013, Stat Methods Med Res 22:630-642.
 *
 * @throws Error for a difference that is not finite, or a level outside (0, 1)
 * @example limitsFromPairs([{ unit: 'a', difference: 1 }, { unit: 'b', difference: 3 }]).mean.value // 2
 */
export function limitsFromPairs(
  pairs: readonly { readonly unit: string; readonly occasion?: string; readonly difference: number }[],
  options: LimitsOptions = {},
): LimitsOfAgreement | null {
  checkValues(
    'limitsFromPairs',
    pairs.map(({ difference }) => difference),
    options.level ?? 0.95,
  );
  const noise = nestedNoise(
    pairs.map(({ unit, occasion, difference }) => ({ unit, occasion: occasion ?? '', value: difference })),
  );
  const nested =
    noise.occasion === null
      ? null
      : varianceOf(
          noise,
          { unit: 1, occasion: 1, value: noise.value === null ? noise.perValue : 1 },
          options.level ?? 0.95,
        );
  const own = new Map<string, number[]>();
  for (const { unit, difference } of pairs) {
    const values = own.get(unit);
    if (values === undefined) own.set(unit, [difference]);
    else values.push(difference);
  }
  const groups = [...own.values()].map((values) => moments(values)!);
  const between = moments(groups.map(({ mean }) => mean));
  if (between === null || between.sd === null) return null;
  if (nested !== null && nested.value > 0 && noise.unit !== null)
    return around(
      { mean: noise.unitMean, between: noise.unit.value, units: noise.units },
      { value: nested.value, interval: [Math.max(0, nested.interval[0]), nested.interval[1]] },
      pairs.length,
      options,
    );
  const withinDf = pairs.length - groups.length;
  const within =
    withinDf === 0 ? 0 : groups.reduce((sum, { n, sd }) => sum + (n - 1) * (sd ?? 0) ** 2, 0) / withinDf;
  const share = groups.reduce((sum, { n }) => sum + 1 / n, 0) / groups.length;
  return recovered(
    { mean: between.mean, between: between.sd ** 2, units: groups.length },
    [{ variance: within, weight: 1 - share, degreesOfFreedom: withinDf }],
    pairs.length,
    options,
  );
}
