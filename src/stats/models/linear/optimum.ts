import {
  choleskyInPlace,
  type Minimum,
  minimiseInTrustRegion,
  type SecondOrder,
} from '../../../numerics/index.ts';
import type { BlockSystem } from './block-system.ts';
import { clearlyInside, inwardStep, snapToBoundary } from './boundary.ts';
import type { CovarianceShape } from './covariance-shape.ts';
import type { Evaluation, ProfiledDeviance } from './profiled-deviance.ts';
import { identityStart, momentStart } from './start-values.ts';

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

/** A fall of the deviance that moves no estimate by more than about a hundred-thousandth of its standard error. */
export const ENOUGH = 1e-10;

export interface SearchOptions {
  readonly start?: Float64Array;
  /** The search ends inside where a whole step would gain no more; 0 asks for all digits. */
  readonly enough?: number;
}

/**
 * The theta of least deviance. A minimum at which a covariance is singular is snapped to the boundary and
 * polished there; a boundary point from which the deviance falls inwards is left again, and every boundary
 * minimum is checked against a second start, unless evaluations are dear: then the inward slope must do, and the search
 * ends where a whole step would gain no more than ENOUGH.
 */
export function findOptimum(
  system: BlockSystem,
  shape: CovarianceShape,
  deviance: ProfiledDeviance,
  { start = momentStart(system, shape), enough = deviance.dear ? ENOUGH : 0 }: SearchOptions = {},
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
  const dearEnough = deviance.dear ? enough : 0;
  let evaluations = 0;
  const search = (start: Float64Array, free: readonly number[], sufficient: number): Minimum => {
    const found = minimiseOver(deviance, start, free, sufficient);
    evaluations += found.evaluations;
    return found;
  };
  const settle = (start: Float64Array) => {
    let found = search(start, everything, enough);
    // What is near the boundary is only told from what is at it with all digits.
    if (enough > 0 && !deviance.dear && !clearlyInside(shape, found.at))
      found = search(found.at, everything, 0);
    let snapped = snapToBoundary(shape, found.at);
    for (let round = 0; round < 4 && snapped.free.length < total; round++) {
      const polished = search(snapped.theta, snapped.free, dearEnough);
      const slack = 1e-9 * (1 + Math.abs(found.value));
      if (!(polished.value <= found.value + slack)) {
        // Not at the boundary after all.
        snapped = { theta: found.at, free: everything, ranks: snapped.ranks };
        break;
      }
      const inward = inwardStep(shape, deviance, polished.at);
      if (!inward) return { found: polished, ...snapToBoundary(shape, polished.at), theta: polished.at };
      found = search(inward, everything, dearEnough);
      snapped = snapToBoundary(shape, found.at);
    }
    return { found, theta: found.at, free: snapped.free, ranks: snapped.ranks };
  };
  let best = settle(start);
  if ((best.free.length < total && !deviance.dear) || !best.found.converged) {
    const other = settle(identityStart(shape));
    if (other.found.value < best.found.value - 1e-9 || (!best.found.converged && other.found.converged))
      best = other;
  }
  const theta = best.theta;
  const evaluation = deviance.evaluate(theta);
  let gradientNorm = 0;
  for (const i of best.free) gradientNorm = Math.max(gradientNorm, Math.abs(evaluation.gradient[i]!));
  return {
    theta,
    evaluation,
    free: best.free,
    ranks: best.ranks,
    converged:
      best.found.converged &&
      gradientNorm < (enough > 0 ? 1e-2 : 1e-4) &&
      theta.every((value) => Math.abs(value) < 1e6),
    gradientNorm,
    evaluations,
  };
}

/**
 * Whether the deviance bends so clearly in every direction at an inner optimum that the data surely tell the
 * variances apart.
 */
export function sharplyCurved({ theta, free, evaluation }: Optimum): boolean {
  const n = theta.length;
  if (free.length < n) return false;
  const { hessian } = evaluation;
  const unit = new Float64Array(n * n);
  for (let i = 0; i < n; i++)
    for (let j = 0; j < n; j++)
      unit[i * n + j] = hessian[i * n + j]! / Math.sqrt(hessian[i * n + i]! * hessian[j * n + j]!);
  if (!choleskyInPlace(unit, n)) return false;
  for (let i = 0; i < n; i++) if (!(unit[i * n + i]! > 1e-3)) return false;
  return true;
}

function minimiseOver(
  deviance: ProfiledDeviance,
  start: Float64Array,
  free: readonly number[],
  enough: number,
): Minimum {
  const total = start.length;
  if (free.length === total)
    return minimiseInTrustRegion((theta) => deviance.evaluate(theta), start, undefined, enough);
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
    undefined,
    enough,
  );
  free.forEach((index, i) => {
    full[index] = found.at[i]!;
  });
  return { ...found, at: full };
}
