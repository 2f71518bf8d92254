import type { SecondOrder } from './trust-region.ts';

/** Derivatives by differences, with what the function handed back on the way. */
export interface Differences<T> extends SecondOrder {
  readonly here: T;
  /** For each variable the six results at -3, -2, -1, 1, 2 and 3 steps. */
  readonly along: readonly (readonly T[])[];
}

const OFFSETS = [-3, -2, -1, 1, 2, 3];
const SLOPE = [-1, 9, -45, 45, -9, 1].map((weight) => weight / 60);
const BEND = [2, -27, 270, 270, -27, 2].map((weight) => weight / 180);
const BEND_MIDDLE = -490 / 180;

/** The first derivative from the values at -3, -2, -1, 1, 2 and 3 steps, to sixth order in the step. */
export function slopeAlong(values: readonly number[], step: number): number {
  let sum = 0;
  for (let i = 0; i < 6; i++) sum += SLOPE[i]! * values[i]!;
  return sum / step;
}

/**
 * Gradient and Hessian of a smooth function of variables of order one, by central differences of sixth order along
 * every axis and every sum of two axes (the second derivative along a + b holds the mixed one). With the step
 * given, truncation and rounding both stay near 1e-10 of the function's own scale. It costs 3 k (k + 1)
 * evaluations for k variables.
 * Source: Fornberg (1988), Mathematics of Computation 51, 699-706, table 1 (the weights).
 *
 * Example: for f(x, y) = x y at (1, 2) the gradient is (2, 1) and the Hessian [0, 1, 1, 0].
 */
export function centralDifferences<T extends { readonly value: number }>(
  f: (x: Float64Array) => T,
  at: Float64Array,
  step = 0.02,
): Differences<T> {
  const k = at.length;
  const here = f(Float64Array.from(at));
  const points = (direction: (i: number) => number): T[] =>
    OFFSETS.map((offset) => f(at.map((value, i) => value + offset * step * direction(i))));
  const bendOf = (results: readonly T[]): number => {
    let sum = BEND_MIDDLE * here.value;
    for (let i = 0; i < 6; i++) sum += BEND[i]! * results[i]!.value;
    return sum / (step * step);
  };
  const along = Array.from({ length: k }, (_, a) => points((i) => (i === a ? 1 : 0)));
  const gradient = Float64Array.from(along, (results) =>
    slopeAlong(
      results.map(({ value }) => value),
      step,
    ),
  );
  const hessian = new Float64Array(k * k);
  for (let a = 0; a < k; a++) hessian[a * k + a] = bendOf(along[a]!);
  for (let a = 0; a < k; a++)
    for (let b = 0; b < a; b++) {
      const both = bendOf(points((i) => (i === a || i === b ? 1 : 0)));
      const mixed = 0.5 * (both - hessian[a * k + a]! - hessian[b * k + b]!);
      hessian[a * k + b] = mixed;
      hessian[b * k + a] = mixed;
    }
  return { value: here.value, gradient, hessian, here, along };
}
