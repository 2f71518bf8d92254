import { minimiseQuasiNewton, symmetricEigen } from '../../../numerics/index.ts';
import { inwardStep } from '../linear/boundary.ts';
import type { CovarianceShape } from '../linear/covariance-shape.ts';
import type { Approximation } from './approximation.ts';
import { slopeInside, snapped } from './boundary.ts';
import { roughHessian } from './hessian-by-differences.ts';
import { FAR, polish } from './polish.ts';

export interface GeneralisedOptimum {
  /** [threshold parameters | coefficients | covariance parameters]. */
  readonly at: Float64Array;
  readonly value: number;
  /** Parameters that are not held at the boundary of the covariances. */
  readonly free: readonly number[];
  /** Dimensions in which each random term really varies. */
  readonly ranks: readonly number[];
  /** Inverse Hessian over the free parameters, or null where the Hessian is not that of a minimum. */
  readonly covariance: Float64Array | null;
  /** effects x free: derivative of the random effects (coordinates of the fit) by the free parameters. */
  readonly effectsBy: Float64Array;
  readonly converged: boolean;
  readonly gradientNorm: number;
}

/** Where the first search ends at a boundary, a second one starts from SDs this many times as large. */
const SECOND_START = 4;

/** Where a search ended. */
export interface Found {
  readonly at: Float64Array;
  readonly value: number;
  readonly free: readonly number[];
  readonly ranks: readonly number[];
}

/**
 * The parameters of greatest likelihood. A quasi-Newton search from the maximum without random terms; covariances that
 * end next to singular are set exactly singular and polished there unless the likelihood would fall, a boundary
 * from which it rises inwards is left again, and an optimum at the boundary is checked against a second start. The end
 * is one Newton step with the Hessian that also gives the standard errors.
 * `before` is the number of parameters ahead of the covariance ones; `startAt` gives a start, its SDs
 * stretched. Null where the likelihood cannot be computed at the start.
 */
export function findGeneralisedOptimum(
  target: Approximation,
  shape: CovarianceShape,
  before: number,
  startAt: (stretch: number) => Float64Array,
): GeneralisedOptimum | null {
  const { evaluate, parameters } = target;
  const everything = Array.from({ length: parameters }, (_, i) => i);

  const search = (from: Float64Array, free: readonly number[]): Float64Array => {
    const k = free.length;
    const full = Float64Array.from(from);
    const within = (x: Float64Array) => {
      free.forEach((index, i) => {
        full[index] = x[i]!;
      });
      const { value, gradient } = evaluate(full);
      const far = full.some((x, i) => i >= before && Math.abs(x) > 2 * FAR);
      return {
        value: far ? Number.POSITIVE_INFINITY : value,
        gradient: Float64Array.from(free, (index) => gradient[index]!),
      };
    };
    const inverseHessian = positiveInverse(roughHessian(target, full, free), k);
    if (!Number.isFinite(evaluate(full).value)) return full;
    const found = minimiseQuasiNewton(
      within,
      Float64Array.from(free, (index) => from[index]!),
      { inverseHessian, tolerance: 1e-13 },
    );
    free.forEach((index, i) => {
      full[index] = found.at[i]!;
    });
    return full;
  };

  const settle = (from: Float64Array): Found => {
    let at = search(from, everything);
    let value = evaluate(at).value;
    let flat = snapped(shape, at, before);
    for (let round = 0; round < 4 && flat.free.length < parameters; round++) {
      const polished = search(flat.at, flat.free);
      const there = evaluate(polished).value;
      if (!(there <= value + 1e-9 * (1 + Math.abs(value))))
        return { at, value, free: everything, ranks: fullRanks(shape) };
      const inward = inwardStep(
        shape,
        { evaluate: (theta) => ({ gradientByElement: slopeInside(target, shape, polished, theta, before) }) },
        polished.slice(before),
      );
      if (!inward) return { at: polished, value: there, free: flat.free, ranks: flat.ranks };
      const moved = Float64Array.from(polished);
      moved.set(inward, before);
      at = search(moved, everything);
      value = evaluate(at).value;
      flat = snapped(shape, at, before);
    }
    return { at, value, free: everything, ranks: fullRanks(shape) };
  };

  const first = startAt(1);
  if (!Number.isFinite(evaluate(first).value)) return null;
  let best = settle(first);
  if (best.free.length < parameters) {
    const other = settle(startAt(SECOND_START));
    if (other.value < best.value - 1e-9 * (1 + Math.abs(best.value))) best = other;
  }
  return polish(target, best, before);
}

/** Inverse after every eigenvalue has been made positive and not tiny. */
function positiveInverse(hessian: Float64Array, n: number): Float64Array {
  if (!hessian.every(Number.isFinite))
    return Float64Array.from(hessian, (_, place) => (place % (n + 1) === 0 ? 1 : 0));
  const { values, vectors } = symmetricEigen(hessian, n);
  const largest = Math.max(1e-300, ...values.map(Math.abs));
  const out = new Float64Array(n * n);
  for (let k = 0; k < n; k++) {
    const value = Math.max(Math.abs(values[k]!), 1e-6 * largest);
    for (let i = 0; i < n; i++)
      for (let j = 0; j < n; j++)
        out[i * n + j] = out[i * n + j]! + (vectors[i * n + k]! * vectors[j * n + k]!) / value;
  }
  return out;
}

const fullRanks = (shape: CovarianceShape): number[] => shape.terms.map(({ effects }) => effects);
