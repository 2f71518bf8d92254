import { studentQuantile } from '../../numerics/index.ts';
import { moments } from '../trial/moments.ts';
import { checkValues } from './check-values.ts';

interface Bound {
  readonly value: number;
  readonly interval: readonly [number, number];
}

/** How far two methods differ on the same thing (first minus second), with intervals. */
export interface LimitsOfAgreement {
  /** Pairs, and units they belong to. */
  readonly pairs: number;
  readonly units: number;
  readonly mean: Bound;
  /** SD of the difference of a single pair. */
  readonly sd: number;
  readonly lower: Bound;
  readonly upper: Bound;
  readonly degreesOfFreedom: number;
}

/** How wide limits of agreement are, and at which confidence level their own intervals hold. */
export interface LimitsOptions {
  readonly level?: number;
  /** SDs either side of the mean. Default 1.96; the paper of 1986 used 2. */
  readonly multiplier?: number;
}

/**
 * Limits of agreement of two methods from one pair for each unit: mean difference plus and minus 1.96 SDs of the
 * differences. Intervals by t with n - 1 degrees of freedom and standard errors s / sqrt n of the mean and
 * sqrt(3 / n) s of each limit. Null below two pairs.
 *
 * Source: Bland and Altman 1986, Lancet 327:307-310; 1999, Stat Methods Med Res 8:135-160.
 *
 * @throws Error for a difference that is not finite, or a level outside (0, 1)
 * @example
 * // Bland and Altman 1986: peak flow by two meters
 * const differences = [-18, -35, -4, 6, -24, -43, 49, 62, -8, -12, -15, 30, 7, 1, -81, 73, -24];
 * limitsOfAgreement(differences, { multiplier: 2 }).lower // { value: -79.6, interval: [-114.2, -45.1] }
 */
export function limitsOfAgreement(
  differences: readonly number[],
  options: LimitsOptions = {},
): LimitsOfAgreement | null {
  const { level = 0.95, multiplier = 1.96 } = options;
  checkValues('limitsOfAgreement', differences, level);
  const sample = moments(differences);
  if (sample === null || sample.sd === null) return null;
  const { n, mean, sd } = sample;
  const t = studentQuantile((1 + level) / 2, n - 1);
  const bound = (value: number, half: number): Bound => ({ value, interval: [value - half, value + half] });
  const half = t * sd * Math.sqrt(3 / n);
  return {
    pairs: n,
    units: n,
    mean: bound(mean, (t * sd) / Math.sqrt(n)),
    sd,
    lower: bound(mean - multiplier * sd, half),
    upper: bound(mean + multiplier * sd, half),
    degreesOfFreedom: n - 1,
  };
}
