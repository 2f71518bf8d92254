import { type ClusterProducts, pooledProducts } from '../../../stats/index.ts';

/** Where less than this share of a square is left, it is summed anew: the difference would have lost digits. */
const LITTLE = 1e-3;

/**
 * The pooled products without one cluster, for each in turn: the whole less its own, so that all of them take as long as a few
 * sums over the clusters.
 */
export function productsWithout(all: ClusterProducts, corrected: boolean): (cluster: number) => Float64Array {
  const { variables: v, products, errors } = all;
  const whole = pooledProducts(all, null, corrected);
  const plain = pooledProducts(all);
  return (cluster) => {
    const out = Float64Array.from(whole);
    const at = cluster * v * v;
    let little = false;
    for (let k = 0; k < v * v; k++) out[k] = out[k]! - products[at + k]!;
    for (let a = 0; a < v; a++) {
      const diagonal = a * v + a;
      if (corrected) out[diagonal] = out[diagonal]! + errors[cluster * v + a]!;
      little ||= plain[diagonal]! - products[at + diagonal]! < LITTLE * plain[diagonal]!;
    }
    if (!little) return out;
    const counts = new Float64Array(all.clusters).fill(1);
    counts[cluster] = 0;
    return pooledProducts(all, counts, corrected);
  };
}
