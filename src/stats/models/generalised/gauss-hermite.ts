import { symmetricEigen } from '../../../numerics/index.ts';

/**
 * Nodes and weights of Gauss-Hermite quadrature for the standard normal density: sum_k weight_k g(node_k) is the mean
 * of g, exact for polynomials up to degree 2 n - 1. Nodes are eigenvalues of the recurrence's matrix (Golub and Welsch
 * (1969), Math Comp 23, 221-230); weights are Christoffel numbers of the orthonormal polynomials.
 *
 * @example
 * gaussHermite(2).nodes // [-1, 1]
 * gaussHermite(2).weights // [1/2, 1/2]
 */
export function gaussHermite(points: number): { nodes: Float64Array; weights: Float64Array } {
  const recurrence = new Float64Array(points * points);
  for (let k = 1; k < points; k++) {
    recurrence[k * points + k - 1] = Math.sqrt(k);
    recurrence[(k - 1) * points + k] = Math.sqrt(k);
  }
  const nodes = symmetricEigen(recurrence, points).values;
  // The rule is symmetric: make it exactly so.
  for (let k = 0; k < points >> 1; k++) {
    const node = 0.5 * (nodes[points - 1 - k]! - nodes[k]!);
    nodes[k] = -node;
    nodes[points - 1 - k] = node;
  }
  if (points % 2 === 1) nodes[points >> 1] = 0;
  const weights = nodes.map((z) => {
    let last = 0;
    let now = 1;
    let sum = 1;
    for (let k = 1; k < points; k++) {
      const next = (z * now - Math.sqrt(k - 1) * last) / Math.sqrt(k);
      last = now;
      now = next;
      sum += next * next;
    }
    return 1 / sum;
  });
  return { nodes, weights };
}
