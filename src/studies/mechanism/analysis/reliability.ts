import { pooledProducts } from '../../../stats/index.ts';
import { type Frame, meanErrorVariance, productsOf, shareStated } from './frame.ts';
import { productsWithout } from './products-without.ts';

/** How much of a column's spread inside golfers is not measurement error. */
export interface Reliability {
  /** True share of the variance inside golfers, 0..1. */
  readonly share: number;
  readonly standardError: number;
  /** Share of the swings that state a measurement SD of their own. */
  readonly stated: number;
}

/** Below this share of true variance, a corrected slope rests more on the stated SDs than on the swings. */
export const LEAST_RELIABILITY = 0.4;

/**
 * 1 less the stated error variance over the variance inside golfers (Fuller 1987, Measurement Error Models, section 1.1),
 * with its standard error by leaving each golfer out. Null where no SD is stated or nothing varies.
 */
export function reliabilityOf(frame: Frame, column: string): Reliability | null {
  if (meanErrorVariance(frame, column) === null) return null;
  const products = productsOf(frame, [column]);
  const share = ([whole]: Float64Array, [truth]: Float64Array): number | null =>
    whole! > 0 ? truth! / whole! : null;
  const all = share(pooledProducts(products), pooledProducts(products, null, true));
  if (all === null) return null;
  const [whole, truth] = [productsWithout(products, false), productsWithout(products, true)];
  const without: number[] = [];
  for (let g = 0; g < products.clusters; g++) {
    const value = share(whole(g), truth(g));
    if (value !== null) without.push(value);
  }
  const n = without.length;
  const mean = without.reduce((sum, value) => sum + value, 0) / n;
  const squares = without.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  return {
    share: all,
    standardError: n < 2 ? 0 : Math.sqrt(((n - 1) / n) * squares),
    stated: shareStated(frame, column),
  };
}
