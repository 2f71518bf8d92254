import { symmetricEigen } from '../../../numerics/index.ts';
import { type CovarianceShape, freePositions } from './covariance-shape.ts';

/** A variance below this share of the residual variance (columns at unit size) is zero. */
const ZERO_VARIANCE = 1e-12;

/**
 * Sets directions without variance to exactly zero: each term's covariance loses its eigenvalues below
 * ZERO_VARIANCE and is factored again with whole zero columns, which are then held.
 */
export function snapToBoundary(
  shape: CovarianceShape,
  theta: Float64Array,
): { theta: Float64Array; free: number[]; ranks: number[] } {
  const out = Float64Array.from(theta);
  const free: number[] = [];
  const ranks: number[] = [];
  shape.terms.forEach((term, t) => {
    const q = term.effects;
    const start = shape.starts[t]!;
    const positions = freePositions(term);
    if (term.kind === 'diagonal') {
      let rank = 0;
      for (let i = 0; i < q; i++) {
        if (out[start + i]! ** 2 < ZERO_VARIANCE) out[start + i] = 0;
        else {
          rank++;
          free.push(start + i);
          out[start + i] = Math.abs(out[start + i]!);
        }
      }
      ranks.push(rank);
      return;
    }
    if (leastVariance(theta, start, positions) > 10 * ZERO_VARIANCE) {
      ranks.push(q);
      for (let i = 0; i < positions.length; i++) free.push(start + i);
      return;
    }
    const { values, vectors } = symmetricEigen(shape.covariance(theta, t), q);
    const least = ZERO_VARIANCE * Math.max(1, values[q - 1]!);
    const rank = values.filter((value) => value >= least).length;
    ranks.push(rank);
    if (rank === q) {
      for (let i = 0; i < positions.length; i++) free.push(start + i);
      return;
    }
    const covariance = new Float64Array(q * q);
    for (let k = q - rank; k < q; k++)
      for (let a = 0; a < q; a++)
        for (let b = 0; b < q; b++)
          covariance[a * q + b] =
            covariance[a * q + b]! + values[k]! * vectors[a * q + k]! * vectors[b * q + k]!;
    const { factor, held } = semidefiniteFactor(covariance, q, rank);
    positions.forEach(([row, column], e) => {
      out[start + e] = factor[row * q + column]!;
      if (!held[column]) free.push(start + e);
    });
  });
  return { theta: out, free, ranks };
}

/** Whether every variance in every direction is far from zero. */
export function clearlyInside(shape: CovarianceShape, theta: Float64Array): boolean {
  return shape.terms.every((term, t) => {
    const positions = freePositions(term);
    const start = shape.starts[t]!;
    if (term.kind === 'full') return leastVariance(theta, start, positions) > 1e-4;
    return positions.every((_, e) => theta[start + e]! ** 2 > 1e-4);
  });
}

/**
 * A bound below the least eigenvalue of a full covariance, over the largest one or 1: it is at least the determinant over
 * the (q - 1)th power of the trace.
 */
function leastVariance(
  theta: Float64Array,
  start: number,
  positions: readonly (readonly [number, number])[],
): number {
  let trace = 0;
  let determinant = 1;
  let others = -1;
  for (let e = 0; e < positions.length; e++) {
    const square = theta[start + e]! ** 2;
    trace += square;
    if (positions[e]![0] !== positions[e]![1]) continue;
    determinant *= square;
    others++;
  }
  return determinant / trace ** others / Math.max(1, trace);
}

/** Lower factor of a positive semidefinite matrix of known rank; the columns of the smallest pivots are zero. */
export function semidefiniteFactor(
  covariance: Float64Array,
  q: number,
  rank: number,
): { factor: Float64Array; held: boolean[] } {
  const left = Float64Array.from(covariance);
  const factor = new Float64Array(q * q);
  const held = new Array<boolean>(q).fill(true);
  let used = 0;
  for (let j = 0; j < q; j++) {
    const pivot = left[j * q + j]!;
    if (used === rank || !(pivot > 1e-9 * Math.max(covariance[j * q + j]!, 1e-300))) continue;
    used++;
    held[j] = false;
    const root = Math.sqrt(pivot);
    for (let i = j; i < q; i++) factor[i * q + j] = left[i * q + j]! / root;
    for (let a = j; a < q; a++)
      for (let b = j; b < q; b++)
        left[a * q + b] = left[a * q + b]! - factor[a * q + j]! * factor[b * q + j]!;
  }
  return { factor, held };
}

/**
 * Where the deviance falls when variance is added in a direction that has none, a theta a little way in;
 * null at a true boundary minimum, where the derivative by the covariance matrix is positive semidefinite
 * on the directions without variance.
 */
export function inwardStep(
  shape: CovarianceShape,
  deviance: { evaluate(theta: Float64Array): { readonly gradientByElement: Float64Array } },
  theta: Float64Array,
): Float64Array | null {
  const { gradientByElement } = deviance.evaluate(theta);
  const out = Float64Array.from(theta);
  let moved = false;
  shape.terms.forEach((term, t) => {
    const q = term.effects;
    const start = shape.starts[t]!;
    if (term.kind === 'diagonal') {
      for (let i = 0; i < q; i++)
        if (theta[start + i] === 0 && gradientByElement[start + i]! < -1e-6) {
          out[start + i] = 0.1;
          moved = true;
        }
      return;
    }
    const covariance = shape.covariance(theta, t);
    const slope = new Float64Array(q * q);
    freePositions(term).forEach(([row, column], e) => {
      const share = gradientByElement[start + e]! * (row === column ? 1 : 0.5);
      slope[row * q + column] = share;
      slope[column * q + row] = share;
    });
    const { values, vectors } = symmetricEigen(covariance, q);
    const least = ZERO_VARIANCE * Math.max(1, values[q - 1]!);
    const empty = values.filter((value) => value < least).length;
    if (empty === 0) return;
    const inner = new Float64Array(empty * empty);
    for (let k = 0; k < empty; k++)
      for (let l = 0; l < empty; l++)
        for (let a = 0; a < q; a++)
          for (let b = 0; b < q; b++)
            inner[k * empty + l] =
              inner[k * empty + l]! + vectors[a * q + k]! * slope[a * q + b]! * vectors[b * q + l]!;
    const bottom = symmetricEigen(inner, empty);
    if (bottom.values[0]! >= -1e-6) return;
    moved = true;
    const direction = new Float64Array(q);
    for (let k = 0; k < empty; k++)
      for (let a = 0; a < q; a++)
        direction[a] = direction[a]! + vectors[a * q + k]! * bottom.vectors[k * empty]!;
    for (let a = 0; a < q; a++)
      for (let b = 0; b < q; b++)
        covariance[a * q + b] =
          covariance[a * q + b]! + 0.01 * direction[a]! * direction[b]! + (a === b ? 1e-6 : 0);
    const { factor } = semidefiniteFactor(covariance, q, q);
    freePositions(term).forEach(([row, column], e) => {
      out[start + e] = factor[row * q + column]!;
    });
  });
  return moved ? out : null;
}
