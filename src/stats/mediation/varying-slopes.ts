import type { ClusterProducts } from './cluster-products.ts';
import { recursivePaths } from './recursive-paths.ts';

/**
 * Each cluster's own slopes of a chain, by least squares, as `recursivePaths` gives them; null where the cluster has fewer
 * than `leastRows` rows or does not vary.
 *
 * @example
 * const products = clusterProducts([0, 0, 0, 1, 1], [[1, 2, 3, 1, 2], [2, 4, 6, 5, 9]]);
 * ownSlopes(products, 3) // [[0, 0, 2, 0], null]: y = 2 x in the first, two rows in the second
 */
export function ownSlopes(
  { variables: v, clusters, products, sizes }: ClusterProducts,
  leastRows = v + 3,
): (Float64Array | null)[] {
  return Array.from({ length: clusters }, (_, g) =>
    sizes[g]! < leastRows ? null : recursivePaths(products.subarray(g * v * v, (g + 1) * v * v), v),
  );
}

/**
 * The covariance of two slopes across clusters, from each cluster's own least-squares slopes. Where slopes vary, the
 * mean indirect effect is a x b plus this covariance. No correction for sampling error is needed in a chain x, m, y: the
 * slope of y on m has an error that does not depend on the slope of m on x, so the covariance of the estimates is that of
 * the slopes.
 *
 * Null with fewer than 5 clusters that have slopes.
 *
 * Source: Kenny, Korchmaros and Bolger 2003, Psychol Methods 8:115-128; Bauer, Preacher and Gil 2006, Psychol Methods
 * 11:142-163.
 *
 * @param own slopes of each cluster, those of `ownSlopes`
 * @param first place of the one slope among them, and `second` of the other
 * @param counts how often each cluster counts; once where absent
 * @example
 * const own = [1, 2, 3, 4, 5].map((a) => Float64Array.of(a, 2 * a));
 * slopeCovariance(own, 0, 1) // 5: twice the variance of 1 to 5, 2.5
 */
export function slopeCovariance(
  own: readonly (Float64Array | null)[],
  first: number,
  second: number,
  counts: ArrayLike<number> | null = null,
): number | null {
  let [n, used, sumA, sumB] = [0, 0, 0, 0];
  own.forEach((slopes, g) => {
    const weight = counts === null ? 1 : counts[g]!;
    if (slopes === null || weight === 0) return;
    used += 1;
    n += weight;
    sumA += weight * slopes[first]!;
    sumB += weight * slopes[second]!;
  });
  if (used < 5) return null;
  let cross = 0;
  own.forEach((slopes, g) => {
    const weight = counts === null ? 1 : counts[g]!;
    if (slopes !== null) cross += weight * (slopes[first]! - sumA / n) * (slopes[second]! - sumB / n);
  });
  return cross / (n - 1);
}
