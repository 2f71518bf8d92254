import { atRatio } from './at-ratio.ts';
import type { GroupSums } from './group-sums.ts';

/** A group's effect where the two variances are taken as known. */
export interface ShrunkenEffect {
  readonly group: string;
  readonly size: number;
  /** Mean of the residuals from the fixed effects: before shrinking. */
  readonly raw: number;
  /** Shrunken toward 0 by the reliability of the group's mean. */
  readonly effect: number;
  /** SD of the true effect around the shrunken one, fixed effects taken as known. */
  readonly sd: number;
  /** Share of the variance of the group's mean that is between groups: n/(n + within^2/between^2). */
  readonly reliability: number;
}

/**
 * Shrunken group effects of a random-intercept model at given SDs (the empirical best linear unbiased predictors of
 * Goldstein and Spiegelhalter 1996, J R Stat Soc A 159:385-443).
 *
 * @param sds of the true effects between groups and of the values within, in the unit of the values
 * @throws Error when the SD within is not positive, the one between is negative, or the predictors depend on one another
 * @example
 * const rows = [['I1', 4], ['I1', 6], ['I2', 8], ['I2', 10]].map(([group, value]) => ({ group, value, predictors: [] }));
 * // Means 2 below and above 7; two values each, SDs 1 and 1: reliability 2 / (2 + 1), SD 1 / sqrt(3).
 * shrunkenEffects(groupSums(rows), { between: 1, within: 1 })[0] // { group: 'I1', size: 2, raw: -2, effect: -4/3, sd: 0.57735, reliability: 2/3 }
 */
export function shrunkenEffects(
  groups: readonly GroupSums[],
  sds: { readonly between: number; readonly within: number },
): ShrunkenEffect[] {
  if (!(sds.between >= 0 && sds.within > 0))
    throw new Error('shrunkenEffects: the SD within must be positive and the SD between not negative');
  const lambda = (sds.between / sds.within) ** 2;
  const at = atRatio(groups, lambda);
  if (at === null) throw new Error('shrunkenEffects: the predictors depend on one another; leave one out');
  return groups.map(({ name, size, xx, xy }) => {
    const residual = at.fixed.reduce((sum, b, i) => sum - xx[i]! * b, xy[0]!);
    const shrink = lambda / (1 + size * lambda);
    return {
      group: name,
      size,
      raw: residual / size,
      effect: shrink * residual,
      sd: sds.within * Math.sqrt(shrink),
      reliability: size * shrink,
    };
  });
}

/**
 * Factor on SDs by which two intervals may be drawn so that, on average, they overlap where two means do not differ at
 * 5%: z(0.975)/sqrt 2 = 1.386 for equal SDs (Goldstein and Healy 1995, J R Stat Soc A 158:175-177).
 */
export const OVERLAP_FACTOR = 1.9599639845400545 / Math.SQRT2;

/**
 * The share of pairs whose intervals of `OVERLAP_FACTOR` SDs do not overlap, 0..1; 0 where there is no pair.
 *
 * @example
 * const effects = [{ effect: 0, sd: 1 }, { effect: 2, sd: 1 }, { effect: 4, sd: 1 }];
 * separableShare(effects) // 1/3: only 0 and 4 are more than 2 x 1.386 apart
 */
export function separableShare(effects: readonly Pick<ShrunkenEffect, 'effect' | 'sd'>[]): number {
  let apart = 0;
  let pairs = 0;
  for (let i = 0; i < effects.length; i++)
    for (let j = 0; j < i; j++) {
      pairs += 1;
      const { effect: a, sd: sa } = effects[i]!;
      const { effect: b, sd: sb } = effects[j]!;
      if (Math.abs(a - b) > OVERLAP_FACTOR * (sa + sb)) apart += 1;
    }
  return pairs === 0 ? 0 : apart / pairs;
}
