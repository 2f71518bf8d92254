import {
  type Minimum,
  minimiseInTrustRegion,
  type SecondOrder,
  symmetricEigen,
} from '../../numerics/index.ts';
import type { BlockSystem } from './block-system.ts';
import { type CovarianceShape, freePositions } from './covariance-shape.ts';
import type { Evaluation, ProfiledDeviance } from './profiled-deviance.ts';

export interface Optimum {
  readonly theta: Float64Array;
  readonly evaluation: Evaluation;
  /** Indices of theta that are not held at the boundary. */
  readonly free: readonly number[];
  /** Dimensions in which each term (of the shape) really varies. */
  readonly ranks: readonly number[];
  readonly converged: boolean;
  readonly gradientNorm: number;
  readonly evaluations: number;
}

/** A variance below this share of the residual variance (columns at unit size) is zero. */
const ZERO_VARIANCE = 1e-12;

/**
 * The theta of least deviance. A minimum at which a covariance is singular is snapped to the boundary and
 * polished there; a boundary point from which the deviance falls inwards is left again, and every boundary
 * minimum is checked against a second start.
 */
export function findOptimum(
  system: BlockSystem,
  shape: CovarianceShape,
  deviance: ProfiledDeviance,
): Optimum {
  const total = shape.starts.at(-1)!;
  const everything = Array.from({ length: total }, (_, i) => i);
  if (total === 0) {
    const theta = new Float64Array(0);
    return {
      theta,
      evaluation: deviance.evaluate(theta),
      free: [],
      ranks: [],
      converged: true,
      gradientNorm: 0,
      evaluations: 1,
    };
  }
  let evaluations = 0;
  const search = (start: Float64Array, free: readonly number[]): Minimum => {
    const found = minimiseOver(deviance, start, free);
    evaluations += found.evaluations;
    return found;
  };
  const settle = (start: Float64Array) => {
    let found = search(start, everything);
    let snapped = snap(shape, found.at);
    for (let round = 0; round < 4 && snapped.free.length < total; round++) {
      const polished = search(snapped.theta, snapped.free);
      const slack = 1e-9 * (1 + Math.abs(found.value));
      if (!(polished.value <= found.value + slack)) {
        // Not at the boundary after all.
        snapped = { theta: found.at, free: everything, ranks: snapped.ranks };
        break;
      }
      const inward = inwardStep(shape, deviance, polished.at);
      if (!inward) return { found: polished, ...snap(shape, polished.at), theta: polished.at };
      found = search(inward, everything);
      snapped = snap(shape, found.at);
    }
    return { found, theta: found.at, free: snapped.free, ranks: snapped.ranks };
  };
  let best = settle(momentStart(system, shape));
  if (best.free.length < total || !best.found.converged) {
    const other = settle(identityStart(shape));
    if (other.found.value < best.found.value - 1e-9 || (!best.found.converged && other.found.converged))
      best = other;
  }
  const theta = best.theta;
  const evaluation = deviance.evaluate(theta);
  const gradientNorm = Math.max(0, ...best.free.map((i) => Math.abs(evaluation.gradient[i]!)));
  return {
    theta,
    evaluation,
    free: best.free,
    ranks: best.ranks,
    converged: best.found.converged && gradientNorm < 1e-4 && theta.every((value) => Math.abs(value) < 1e6),
    gradientNorm,
    evaluations,
  };
}

function minimiseOver(deviance: ProfiledDeviance, start: Float64Array, free: readonly number[]): Minimum {
  const total = start.length;
  if (free.length === total) return minimiseInTrustRegion(deviance.evaluate, start);
  const full = Float64Array.from(start);
  const k = free.length;
  const within = (x: Float64Array): SecondOrder => {
    free.forEach((index, i) => {
      full[index] = x[i]!;
    });
    const { value, gradient, hessian } = deviance.evaluate(full);
    const h = new Float64Array(k * k);
    for (let i = 0; i < k; i++)
      for (let j = 0; j < k; j++) h[i * k + j] = hessian[free[i]! * total + free[j]!]!;
    return { value, gradient: Float64Array.from(free, (index) => gradient[index]!), hessian: h };
  };
  const found = minimiseInTrustRegion(
    within,
    Float64Array.from(free, (index) => start[index]!),
  );
  free.forEach((index, i) => {
    full[index] = found.at[i]!;
  });
  return { ...found, at: full };
}

/**
 * Sets directions without variance to exactly zero: each term's covariance loses its eigenvalues below
 * ZERO_VARIANCE and is factored again with whole zero columns, which are then held.
 */
function snap(
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

/** Lower factor of a positive semidefinite matrix of known rank; the columns of the smallest pivots are zero. */
function semidefiniteFactor(
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
function inwardStep(
  shape: CovarianceShape,
  deviance: ProfiledDeviance,
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

function identityStart(shape: CovarianceShape): Float64Array {
  const theta = new Float64Array(shape.starts.at(-1)!);
  shape.terms.forEach((term, t) => {
    freePositions(term).forEach(([row, column], e) => {
      theta[shape.starts[t]! + e] = row === column ? 1 : 0;
    });
  });
  return theta;
}

/**
 * A first guess from the moments of the least-squares residual e (unit size): for one effect with columns z,
 * sum over levels of (z'e)^2 is about s sum z'z + t sum (z'z)^2 while n is about n s + t sum z'z, which gives the
 * effect's variance t and the residual variance s.
 */
function momentStart(system: BlockSystem, shape: CovarianceShape): Float64Array {
  const theta = new Float64Array(shape.starts.at(-1)!);
  shape.terms.forEach((term, t) => {
    const { nodes, effects, width } = system.stages[term.stage]!;
    const block = system.blocks[term.stage]!;
    freePositions(term).forEach(([row, column], e) => {
      if (row !== column) return;
      let score = 0;
      let square = 0;
      let fourth = 0;
      for (let node = 0; node < nodes; node++)
        for (let copy = 0; copy < term.copies; copy++) {
          const a = term.offset + copy * term.effects + row;
          const at = (node * effects + a) * width;
          const zz = block[at + a]!;
          score += block[at + width - 1]! ** 2;
          square += zz;
          fourth += zz * zz;
        }
      const variance = (score - square) / (fourth - (square * square) / system.rows);
      const residual = 1 - (variance * square) / system.rows;
      const ratio = residual > 0 ? variance / residual : 4;
      theta[shape.starts[t]! + e] = Math.sqrt(Math.min(9, Math.max(0.04, ratio || 0)));
    });
  });
  return theta;
}
