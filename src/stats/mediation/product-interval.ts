import { normalQuantile } from '../../numerics/index.ts';
import { productQuantile, type TwoNormals } from './product-distribution.ts';

/** A product of two coefficients with its standard errors and intervals, in the product of their units. */
export interface ProductInterval {
  /** The product of the two coefficients. */
  readonly product: number;
  /** First order (Sobel 1982): sqrt(b^2 sa^2 + a^2 sb^2), with the covariance where there is one. */
  readonly standardError: number;
  /** Second order (Aroian 1947): with the term sa^2 sb^2. */
  readonly secondOrder: number;
  /** product -/+ z x standardError: symmetric, and wrong in its tails, since a product of normals is skew. */
  readonly normal: readonly [number, number];
  /** From the distribution of the product itself. */
  readonly interval: readonly [number, number];
}

/**
 * The product of two estimates and its interval: an indirect effect a x b from two fits (from the cause to what
 * carries it, and from there to the outcome). The interval is made of quantiles of the distribution of the product of two
 * normals, integrated, not drawn.
 *
 * Source: MacKinnon, Fairchild and Fritz 2007, Annu Rev Psychol 58:593-614; MacKinnon et al. 2007, Behav Res Methods
 * 39:384-389; Sobel 1982; Aroian 1947, Ann Math Stat 18:265-271.
 *
 * @throws Error when a standard error is not above zero, or the correlation not inside -1..1
 * @example
 * productInterval({ a: 0.339, sdA: 0.122, b: 0.451, sdB: 0.146 })
 * // { product: 0.1529, standardError: 0.0740, secondOrder: 0.0761, ... }
 */
export function productInterval(estimates: TwoNormals, level = 0.95): ProductInterval {
  const { a, sdA, b, sdB, correlation = 0 } = estimates;
  if (!(level > 0 && level < 1))
    throw new Error(`productInterval: the level must lie in 0..1; found ${level}`);
  const shared = correlation * sdA * sdB;
  const first = b * b * sdA * sdA + a * a * sdB * sdB + 2 * a * b * shared;
  const standardError = Math.sqrt(Math.max(0, first));
  const secondOrder = Math.sqrt(Math.max(0, first) + sdA * sdA * sdB * sdB + shared * shared);
  const product = a * b;
  const half = normalQuantile((1 + level) / 2) * standardError;
  return {
    product,
    standardError,
    secondOrder,
    normal: [product - half, product + half],
    interval: [productQuantile((1 - level) / 2, estimates), productQuantile((1 + level) / 2, estimates)],
  };
}
