import {
  inverseOfPositiveDefinite,
  minimiseInTrustRegion,
  minimiseQuasiNewton,
  symmetricEigen,
} from '../../../numerics/index.ts';
import { inwardStep } from '../linear/boundary.ts';
import type { CovarianceShape } from '../linear/covariance-shape.ts';
import type { Approximation } from './approximation.ts';
import { slopeInside, snapped } from './boundary.ts';
import { roughHessian, secondDerivatives } from './hessian-by-differences.ts';

export interface GeneralisedOptimum {
  /** [threshold parameters | coefficients | covariance parameters]. */
  readonly at: Float64Array;
  readonly value: number;
  /** Parameters that are not held at the boundary of the covariances. */
  readonly free: readonly number[];
  /** Dimensions in which each random term really varies. */
  readonly ranks: readonly number[];
  readonly hessian: Float64Array;
  /** Inverse Hessian over the free parameters, or null where the Hessian is not that of a minimum. */
  readonly covariance: Float64Array | null;
  /** effects x parameters: derivative of the random effects (coordinates of the fit) by the free parameters. */
  readonly effectsBy: Float64Array;
  readonly converged: boolean;
  readonly gradientNorm: number;
}

/** Where the first search ends at a boundary, a second one starts from SDs this many times as large. */
const SECOND_START = 4;
/** A covariance parameter beyond this is taken to run to infinity. */
const FAR = 300;

interface Found {
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
 * `before` is the number of parameters ahead of the covariance ones; `startAt` gives a start, its SDs stretched.
 */
export function findGeneralisedOptimum(
  target: Approximation,
  shape: CovarianceShape,
  before: number,
  startAt: (stretch: number) => Float64Array,
): GeneralisedOptimum {
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
    const found = minimiseQuasiNewton(
      within,
      Float64Array.from(free, (index) => from[index]!),
      {
        inverseHessian: positiveInverse(roughHessian(target, full, free), k),
        tolerance: 1e-13,
      },
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

  let best = settle(startAt(1));
  if (best.free.length < parameters) {
    const other = settle(startAt(SECOND_START));
    if (other.value < best.value - 1e-9 * (1 + Math.abs(best.value))) best = other;
  }
  return finish(target, best, before);
}

/** A Newton step with the full Hessian, or a trust-region search where the Hessian is not yet that of a minimum. */
function finish(target: Approximation, { at, free, ranks }: Found, before: number): GeneralisedOptimum {
  const k = free.length;
  const full = Float64Array.from(at);
  const place = (x: Float64Array): void => {
    free.forEach((index, i) => {
      full[index] = x[i]!;
    });
  };
  const here = () => {
    const { value, gradient } = target.evaluate(full);
    return { value, gradient: Float64Array.from(free, (index) => gradient[index]!) };
  };
  let derived = secondDerivatives(target, full, free);
  let covariance = inverseOfPositiveDefinite(derived.hessian, k);
  if (!covariance && full.every((value) => Math.abs(value) < FAR)) {
    const found = minimiseInTrustRegion(
      (x) => {
        place(x);
        return secondDerivatives(target, full, free);
      },
      Float64Array.from(free, (index) => full[index]!),
      60,
    );
    place(found.at);
    derived = secondDerivatives(target, full, free);
    covariance = inverseOfPositiveDefinite(derived.hessian, k);
  }
  let { value, gradient } = derived;
  let promised = covariance ? quadraticForm(covariance, gradient) : Number.POSITIVE_INFINITY;
  if (covariance && promised < 1e-2) {
    const reached = Float64Array.from(free, (index) => full[index]!);
    const step = new Float64Array(k);
    for (let i = 0; i < k; i++)
      for (let j = 0; j < k; j++) step[i] = step[i]! - covariance[i * k + j]! * gradient[j]!;
    place(reached.map((x, i) => x + step[i]!));
    const there = here();
    const left = quadraticForm(covariance, there.gradient);
    if (left <= promised) {
      ({ value, gradient } = there);
      promised = left;
    } else {
      place(reached);
      here();
    }
  }
  const runaway = full.some((x, i) => i >= before && Math.abs(x) >= FAR);
  return {
    at: full,
    value,
    free,
    ranks,
    hessian: derived.hessian,
    covariance,
    effectsBy: derived.effectsBy,
    converged: promised < 1e-8 && !runaway,
    gradientNorm: 2 * gradient.reduce((largest, g) => Math.max(largest, Math.abs(g)), 0),
  };
}

function quadraticForm(a: Float64Array, v: Float64Array): number {
  const n = v.length;
  let sum = 0;
  for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) sum += v[i]! * a[i * n + j]! * v[j]!;
  return sum;
}

/** Inverse after every eigenvalue has been made positive and not tiny. */
function positiveInverse(hessian: Float64Array, n: number): Float64Array {
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
