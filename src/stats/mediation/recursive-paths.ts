import { choleskyInPlace, solveLowerTransposed } from '../../numerics/index.ts';

/**
 * The slopes of a chain of variables in which each may depend on all that come before it: row by row, the slope of
 * variable `to` on variable `from`, the others before `to` held, stands at to * n + from. Least squares from cross
 * products: with S = L L', the slopes of variable j solve L(<j)' beta = l(j).
 *
 * Null where the products are not positive definite: a variable that does not vary, two that say the same, or more
 * measurement error than spread.
 *
 * @param products n x n cross products (or covariances) in the order of the chain
 * @example recursivePaths([4, 2, 2, 5], 2) // [0, 0, 0.5, 0]
 */
export function recursivePaths(products: ArrayLike<number>, n: number): Float64Array | null {
  const factor = Float64Array.from(products);
  if (!choleskyInPlace(factor, n)) return null;
  for (let a = 0; a < n; a++) if (factor[a * n + a]! ** 2 < 1e-10 * products[a * n + a]!) return null;
  const slopes = new Float64Array(n * n);
  for (let j = 1; j < n; j++) {
    const before = new Float64Array(j * j);
    for (let a = 0; a < j; a++) for (let b = 0; b <= a; b++) before[a * j + b] = factor[a * n + b]!;
    const beta = factor.slice(j * n, j * n + j);
    solveLowerTransposed(before, j, beta);
    slopes.set(beta, j * n);
  }
  return slopes;
}

/**
 * What one unit of the first variable of a route does to the last along that route: the product of its slopes.
 *
 * @throws Error when a route has fewer than two stations
 * @example alongRoute([0, 0, 0.5, 0], 2, [0, 1]) // 0.5
 */
export function alongRoute(slopes: ArrayLike<number>, n: number, route: readonly number[]): number {
  if (route.length < 2) throw new Error('alongRoute: a route needs at least two stations');
  let product = 1;
  for (let k = 1; k < route.length; k++) product *= slopes[route[k]! * n + route[k - 1]!]!;
  return product;
}

/** What one unit of variable `from` does to variable `to` along every route of the chain together. */
export function totalAlong(slopes: ArrayLike<number>, n: number, from: number, to: number): number {
  const effect = new Float64Array(n);
  effect[from] = 1;
  for (let k = from + 1; k <= to; k++)
    for (let before = from; before < k; before++)
      effect[k] = effect[k]! + slopes[k * n + before]! * effect[before]!;
  return effect[to]!;
}
