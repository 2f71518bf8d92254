import { choleskyInPlace, solveLower, solveLowerTransposed } from '../../numerics/index.ts';

/**
 * The slopes of a chain of variables in which each may depend on all that come before it: row by row, the slope of
 * variable `to` on variable `from`, the others before `to` held, stands at to * n + from. Least squares from cross
 * products: for variable j, S(<j, <j) beta = S(<j, j).
 *
 * Null where the products of those that others depend on are not positive definite: a variable that does not vary, two
 * that say the same, or more measurement error than spread.
 *
 * @param products n x n cross products (or covariances) in the order of the chain
 * @example recursivePaths([4, 2, 2, 5], 2) // [0, 0, 0.5, 0]
 */
export function recursivePaths(products: ArrayLike<number>, n: number): Float64Array | null {
  const slopes = new Float64Array(n * n);
  for (let j = 1; j < n; j++) {
    const factor = new Float64Array(j * j);
    for (let a = 0; a < j; a++) for (let b = 0; b < j; b++) factor[a * j + b] = products[a * n + b]!;
    if (!choleskyInPlace(factor, j)) return null;
    for (let a = 0; a < j; a++) if (factor[a * j + a]! ** 2 < 1e-10 * products[a * n + a]!) return null;
    const beta = Float64Array.from({ length: j }, (_, a) => products[j * n + a]!);
    solveLower(factor, j, beta);
    solveLowerTransposed(factor, j, beta);
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

/**
 * What one unit of variable `from` does to variable `to` along every route of the chain together.
 * @example totalAlong([0, 0, 0.5, 0], 2, 0, 1) // 0.5
 */
export function totalAlong(slopes: ArrayLike<number>, n: number, from: number, to: number): number {
  const effect = new Float64Array(n);
  effect[from] = 1;
  for (let k = from + 1; k <= to; k++)
    for (let before = from; before < k; before++)
      effect[k] = effect[k]! + slopes[k * n + before]! * effect[before]!;
  return effect[to]!;
}
