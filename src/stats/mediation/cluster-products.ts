/** Variables as deviations from their means in each cluster, kept as cross products: all that paths inside clusters need. */
export interface ClusterProducts {
  readonly variables: number;
  readonly clusters: number;
  /** Rows of each cluster. */
  readonly sizes: Float64Array;
  /** Cross products of the deviations, variables x variables, cluster after cluster. */
  readonly products: Float64Array;
  /** What known measurement errors add to the squares, by cluster and variable: sum of variances x (1 - 1 / rows). */
  readonly errors: Float64Array;
}

/**
 * The cross products of deviations from cluster means: sum over rows of (x - mean)(y - mean), cluster by cluster, in two
 * passes so that a large mean does not cost digits.
 *
 * @param cluster the cluster of each row, as whole numbers from 0
 * @param columns the variables, one number for each row and no gaps
 * @param errorVariances known measurement variances of a variable by row; null or absent where it has none
 * @throws Error when columns differ in length
 * @example clusterProducts([0, 0, 1, 1], [[1, 3, 5, 5], [2, 4, 1, 0]]).products // [2, 2, 2, 2, 0, 0, 0, 0.5]
 */
export function clusterProducts(
  cluster: ArrayLike<number>,
  columns: readonly ArrayLike<number>[],
  errorVariances: readonly (ArrayLike<number> | null)[] = [],
): ClusterProducts {
  const rows = cluster.length;
  const v = columns.length;
  if (columns.some((column) => column.length !== rows))
    throw new Error(`clusterProducts: every column needs ${rows} rows, one for each row of the clusters`);
  let clusters = 0;
  for (let i = 0; i < rows; i++) clusters = Math.max(clusters, cluster[i]! + 1);
  const sizes = new Float64Array(clusters);
  const means = new Float64Array(clusters * v);
  const errors = new Float64Array(clusters * v);
  for (let i = 0; i < rows; i++) {
    const g = cluster[i]!;
    sizes[g] = sizes[g]! + 1;
    for (let a = 0; a < v; a++) {
      means[g * v + a] = means[g * v + a]! + columns[a]![i]!;
      errors[g * v + a] = errors[g * v + a]! + (errorVariances[a]?.[i] ?? 0);
    }
  }
  for (let g = 0; g < clusters; g++)
    for (let a = 0; a < v; a++) {
      means[g * v + a] = means[g * v + a]! / sizes[g]!;
      errors[g * v + a] = sizes[g]! === 0 ? 0 : errors[g * v + a]! * (1 - 1 / sizes[g]!);
    }
  const products = new Float64Array(clusters * v * v);
  const deviation = new Float64Array(v);
  for (let i = 0; i < rows; i++) {
    const g = cluster[i]!;
    for (let a = 0; a < v; a++) deviation[a] = columns[a]![i]! - means[g * v + a]!;
    const at = g * v * v;
    for (let a = 0; a < v; a++)
      for (let b = 0; b < v; b++)
        products[at + a * v + b] = products[at + a * v + b]! + deviation[a]! * deviation[b]!;
  }
  return { variables: v, clusters, sizes, products, errors };
}

/**
 * The products of all clusters together, each counted `counts` times (once where absent), less what measurement error
 * adds to the squares when `corrected`: variables x variables, row by row.
 *
 * @example
 * const found = clusterProducts([0, 0, 1, 1], [[1, 3, 5, 5], [2, 4, 1, 0]]); // [2, 2, 2, 2] and [0, 0, 0, 0.5]
 * pooledProducts(found) // [2, 2, 2, 2.5]
 * pooledProducts(found, [1, 2]) // [2, 2, 2, 3]
 */
export function pooledProducts(
  { variables: v, clusters, products, errors }: ClusterProducts,
  counts: ArrayLike<number> | null = null,
  corrected = false,
): Float64Array {
  const out = new Float64Array(v * v);
  for (let g = 0; g < clusters; g++) {
    const weight = counts === null ? 1 : counts[g]!;
    if (weight === 0) continue;
    for (let a = 0; a < v * v; a++) out[a] = out[a]! + weight * products[g * v * v + a]!;
    if (corrected) for (let a = 0; a < v; a++) out[a * v + a] = out[a * v + a]! - weight * errors[g * v + a]!;
  }
  return out;
}
