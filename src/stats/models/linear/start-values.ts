import { choleskyInPlace, inverseOfPositiveDefinite, symmetricEigen } from '../../../numerics/index.ts';
import type { BlockSystem } from './block-system.ts';
import { semidefiniteFactor } from './boundary.ts';
import { type CovarianceShape, freePositions, type TermShape } from './covariance-shape.ts';

/** Relative variances a search starts from stay between these. */
const LEAST = 0.02;
const GREATEST = 400;

/** Every relative covariance the identity. */
export function identityStart(shape: CovarianceShape): Float64Array {
  const theta = new Float64Array(shape.starts.at(-1)!);
  shape.terms.forEach((term, t) => {
    freePositions(term).forEach(([row, column], e) => {
      theta[shape.starts[t]! + e] = row === column ? 1 : 0;
    });
  });
  return theta;
}

/**
 * A start from moments. In each group of a term the effects' own least-squares estimates b (of the residual of the
 * fixed effects) scatter with covariance Sigma + s2 A^-1, A being the group's Z'Z; so the mean of b b' less
 * s2 times the mean of A^-1 estimates Sigma, and what the groups' own fits leave over estimates s2.
 * On balanced data this is close to the optimum itself.
 */
export function momentStart(system: BlockSystem, shape: CovarianceShape): Float64Array {
  const theta = identityStart(shape);
  const moments = shape.terms.map((term) => termMoments(system, term));
  const residual = Math.min(...moments.map((found) => found?.residual ?? 1));
  if (!(residual > 1e-12)) return theta;
  shape.terms.forEach((term, t) => {
    const found = moments[t];
    if (!found) return;
    const q = term.effects;
    const relative = found.covariance.map((value) => value / residual);
    if (term.kind === 'diagonal')
      for (let a = 0; a < q; a++) for (let b = 0; b < q; b++) if (a !== b) relative[a * q + b] = 0;
    const { values, vectors } = symmetricEigen(relative, q);
    const bounded = new Float64Array(q * q);
    for (let k = 0; k < q; k++) {
      const value = Math.min(GREATEST, Math.max(LEAST, values[k]!));
      for (let a = 0; a < q; a++)
        for (let b = 0; b < q; b++)
          bounded[a * q + b] = bounded[a * q + b]! + value * vectors[a * q + k]! * vectors[b * q + k]!;
    }
    const { factor } = semidefiniteFactor(bounded, q, q);
    freePositions(term).forEach(([row, column], e) => {
      theta[shape.starts[t]! + e] = factor[row * q + column]!;
    });
  });
  return theta;
}

function termMoments(
  { stages, blocks, rows }: BlockSystem,
  term: TermShape,
): { covariance: Float64Array; residual: number } | null {
  const { nodes, effects, width } = stages[term.stage]!;
  const block = blocks[term.stage]!;
  const q = term.effects;
  const covariance = new Float64Array(q * q);
  const spread = new Float64Array(q * q);
  const A = new Float64Array(q * q);
  const b = new Float64Array(q);
  let inverse: Float64Array | null = null;
  let groups = 0;
  let explained = 0;
  for (let node = 0; node < nodes; node++)
    for (let copy = 0; copy < term.copies; copy++) {
      const first = term.offset + copy * q;
      const start = (node * effects + first) * width;
      // Groups with the same design as the one before need no inverse of their own.
      let same = node + copy > 0;
      for (let i = 0; i < q; i++)
        for (let j = 0; j < q; j++) {
          const value = block[start + i * width + first + j]!;
          if (A[i * q + j] !== value) same = false;
          A[i * q + j] = value;
        }
      if (!same) inverse = wellConditioned(A, q) ? inverseOfPositiveDefinite(A, q) : null;
      if (!inverse) continue;
      groups++;
      const outcome = start + width - 1;
      for (let i = 0; i < q; i++) {
        let sum = 0;
        for (let j = 0; j < q; j++) sum += inverse[i * q + j]! * block[outcome + j * width]!;
        b[i] = sum;
        explained += sum * block[outcome + i * width]!;
      }
      for (let i = 0; i < q; i++)
        for (let j = 0; j < q; j++) {
          covariance[i * q + j] = covariance[i * q + j]! + b[i]! * b[j]!;
          spread[i * q + j] = spread[i * q + j]! + inverse[i * q + j]!;
        }
    }
  if (groups < 2 || rows - q * groups <= 0) return null;
  const residual = Math.max((rows - explained) / (rows - q * groups), 0);
  for (let i = 0; i < q * q; i++) covariance[i] = (covariance[i]! - residual * spread[i]!) / groups;
  return { covariance, residual };
}

/** Whether a group can estimate all its effects: no pivot far smaller than its diagonal. */
function wellConditioned(a: Float64Array, q: number): boolean {
  const factor = Float64Array.from(a);
  if (!choleskyInPlace(factor, q)) return false;
  for (let i = 0; i < q; i++) if (factor[i * q + i]! ** 2 < 1e-2 * a[i * q + i]!) return false;
  return true;
}
