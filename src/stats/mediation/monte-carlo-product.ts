import type { Stream } from '../../numerics/index.ts';

/** One estimated factor of a product: its estimate and standard error. */
export interface Factor {
  readonly estimate: number;
  readonly standardError: number;
}

/**
 * The product of several independent estimates with its interval from draws of normals: an indirect effect along more than
 * two paths, or one whose paths come from models that cannot be refitted thousands of times.
 *
 * Source: MacKinnon, Lockwood and Williams 2004, Multivariate Behav Res 39:99-128; Preacher and Selig 2012, Commun Methods
 * Meas 6:77-98.
 *
 * @throws Error when there are no factors, a standard error is below zero, or fewer than 100 draws are asked for
 * @example
 * // One factor known exactly: the product is normal with mean 1 and SD 0.05, its interval 1 -+ 1.96 x 0.05.
 * const factors = [{ estimate: 0.5, standardError: 0 }, { estimate: 2, standardError: 0.1 }];
 * const { value, interval } = monteCarloProduct(factors, { draws: 100_000, stream: createStream(1) });
 * value // 1
 * interval.map((end) => Math.round(100 * end) / 100) // [0.9, 1.1]
 */
export function monteCarloProduct(
  factors: readonly Factor[],
  {
    draws,
    level = 0.95,
    stream,
  }: { readonly draws: number; readonly level?: number; readonly stream: Stream },
): { readonly value: number; readonly interval: readonly [number, number]; readonly standardError: number } {
  if (factors.length === 0 || draws < 100)
    throw new Error('monteCarloProduct: give at least one factor and ask for at least 100 draws');
  if (factors.some(({ standardError }) => !(standardError >= 0)))
    throw new Error('monteCarloProduct: a standard error is zero or above');
  const products = new Float64Array(draws);
  for (let k = 0; k < draws; k++) {
    let product = 1;
    for (const { estimate, standardError } of factors) product *= stream.normal(estimate, standardError);
    products[k] = product;
  }
  products.sort();
  const at = (share: number) =>
    products[Math.min(draws - 1, Math.max(0, Math.round(share * (draws + 1)) - 1))]!;
  const mean = products.reduce((sum, value) => sum + value, 0) / draws;
  const squares = products.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  return {
    value: factors.reduce((product, { estimate }) => product * estimate, 1),
    interval: [at((1 - level) / 2), at((1 + level) / 2)],
    standardError: Math.sqrt(squares / (draws - 1)),
  };
}
