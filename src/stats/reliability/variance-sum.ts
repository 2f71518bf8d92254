import { chiSquaredUpperQuantile, fQuantile, fUpperQuantile } from '../../numerics/index.ts';

/** One mean square of a weighted sum: its weight may be negative. */
export interface MeanSquareTerm {
  readonly weight: number;
  readonly meanSquare: number;
  readonly degreesOfFreedom: number;
}

/** A weighted sum of mean squares with its interval; all are variances and may be negative. */
export interface VarianceSum {
  readonly value: number;
  readonly interval: readonly [number, number];
  /** Satterthwaite's, (sum w M)^2 / sum (w M)^2 / df; null where the sum is 0. */
  readonly degreesOfFreedom: number | null;
}

/**
 * Modified large sample interval of a weighted sum of independent mean squares, each M distributed as its expectation
 * times chi-squared / df. Exact for one mean square, close to nominal for sums and differences. With weights of both
 * signs the terms for pairs of unlike sign are those of Ting et al. (1990); those for pairs of like sign are left out,
 * as in Graybill and Wang (1980), which widens the interval a little.
 *
 * Sources: Graybill and Wang 1980, J Am Stat Assoc 75:869-873; Ting, Burdick, Graybill, Jeyaratnam and Lu 1990, J Stat
 * Comput Simul 35:135-143; Burdick and Graybill 1992, Confidence Intervals on Variance Components, ch. 3.
 *
 * @throws Error for a mean square that is negative or not finite, no degrees of freedom, or a level outside (0, 1)
 * @example varianceSum([{ weight: 1, meanSquare: 4, degreesOfFreedom: 10 }], 0.95).interval // [1.953, 12.32]
 */
export function varianceSum(terms: readonly MeanSquareTerm[], level: number): VarianceSum {
  if (!(level > 0 && level < 1))
    throw new Error(`varianceSum: the level must lie between 0 and 1; found ${level}`);
  for (const { meanSquare, degreesOfFreedom } of terms)
    if (!(meanSquare >= 0 && Number.isFinite(meanSquare) && degreesOfFreedom > 0))
      throw new Error('varianceSum: give mean squares of 0 or more, each with degrees of freedom above 0');
  const tail = (1 - level) / 2;
  const parts = terms
    .filter(({ weight }) => weight !== 0)
    .map(({ weight, meanSquare, degreesOfFreedom: df }) => ({
      size: weight * meanSquare,
      df,
      // F with infinite denominator degrees of freedom is chi-squared / df.
      below: 1 - df / chiSquaredUpperQuantile(tail, df),
      above: df / chiSquaredUpperQuantile(1 - tail, df) - 1,
    }));
  const value = parts.reduce((sum, { size }) => sum + size, 0);
  let down = 0;
  let up = 0;
  let spread = 0;
  for (const { size, df, below, above } of parts) {
    down += ((size > 0 ? below : above) * size) ** 2;
    up += ((size > 0 ? above : below) * size) ** 2;
    spread += size ** 2 / df;
  }
  for (const plus of parts)
    for (const minus of parts) {
      if (!(plus.size > 0 && minus.size < 0)) continue;
      const product = plus.size * -minus.size;
      const high = fUpperQuantile(tail, plus.df, minus.df);
      const low = fQuantile(tail, plus.df, minus.df);
      down += (((high - 1) ** 2 - (plus.below * high) ** 2 - minus.above ** 2) / high) * product;
      up += (((1 - low) ** 2 - (plus.above * low) ** 2 - minus.below ** 2) / low) * product;
    }
  return {
    value,
    interval: [value - Math.sqrt(Math.max(0, down)), value + Math.sqrt(Math.max(0, up))],
    degreesOfFreedom: spread > 0 ? value ** 2 / spread : null,
  };
}

/**
 * A variance and its interval as an SD; below zero there is none, so that it is 0 there.
 * @example sdOf({ value: 4, interval: [-1, 9] }) // { value: 2, interval: [0, 3] }
 */
export function sdOf({ value, interval }: Pick<VarianceSum, 'value' | 'interval'>): {
  readonly value: number;
  readonly interval: readonly [number, number];
} {
  const root = (variance: number) => Math.sqrt(Math.max(0, variance));
  return { value: root(value), interval: [root(interval[0]), root(interval[1])] };
}
