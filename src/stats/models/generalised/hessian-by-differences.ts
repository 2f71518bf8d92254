import type { Approximation } from './approximation.ts';

/** Step of the central differences, in coordinates of order one: about nine digits of the Hessian are left. */
const CENTRAL = 1e-4;
const FORWARD = 1e-5;

/** What central differences of the exact gradient find at a point. */
export interface SecondDerivatives {
  readonly value: number;
  /** By the free parameters. */
  readonly gradient: Float64Array;
  /** free x free, symmetric. */
  readonly hessian: Float64Array;
  /** effects x free: how the random effects (coordinates of the fit) move with each free parameter. */
  readonly effectsBy: Float64Array;
}

/** The Hessian over the free parameters at `at`, and on the way the derivatives of the random effects. */
export function secondDerivatives(
  target: Approximation,
  at: Float64Array,
  free: readonly number[],
): SecondDerivatives {
  const k = free.length;
  const effects = target.mode.b.length;
  const { value, gradient } = target.evaluate(at);
  const slopes = new Float64Array(k * k);
  const effectsBy = new Float64Array(effects * k);
  const above = new Float64Array(effects);
  const below = new Float64Array(effects);
  const point = Float64Array.from(at);
  free.forEach((index, i) => {
    point[index] = at[index]! + CENTRAL;
    const high = target.evaluate(point).gradient;
    target.randomEffects(above);
    point[index] = at[index]! - CENTRAL;
    const low = target.evaluate(point).gradient;
    target.randomEffects(below);
    point[index] = at[index]!;
    free.forEach((other, j) => {
      slopes[i * k + j] = (high[other]! - low[other]!) / (2 * CENTRAL);
    });
    for (let j = 0; j < effects; j++) effectsBy[j * k + i] = (above[j]! - below[j]!) / (2 * CENTRAL);
  });
  return {
    value,
    gradient: Float64Array.from(free, (index) => gradient[index]!),
    hessian: symmetric(slopes, k),
    effectsBy,
  };
}

/** The Hessian from forward differences, for a search; the last evaluation is the one at `at`. */
export function roughHessian(target: Approximation, at: Float64Array, free: readonly number[]): Float64Array {
  const k = free.length;
  const point = Float64Array.from(at);
  const moved = free.map((index) => {
    point[index] = at[index]! + FORWARD;
    const { gradient } = target.evaluate(point);
    point[index] = at[index]!;
    return gradient;
  });
  const here = target.evaluate(at).gradient;
  const slopes = new Float64Array(k * k);
  moved.forEach((gradient, i) => {
    free.forEach((other, j) => {
      slopes[i * k + j] = (gradient[other]! - here[other]!) / FORWARD;
    });
  });
  return symmetric(slopes, k);
}

function symmetric(a: Float64Array, n: number): Float64Array {
  return a.map((value, place) => 0.5 * (value + a[(place % n) * n + Math.floor(place / n)]!));
}
