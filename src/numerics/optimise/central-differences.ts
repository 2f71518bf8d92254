import type { SecondOrder } from './trust-region.ts';

/** Derivatives by differences, with what the function handed back on the way. */
export interface Differences<T> extends SecondOrder {
  readonly here: T;
  /** For each variable the results at each offset of the scheme, lowest first. */
  readonly along: readonly (readonly T[])[];
}

interface Scheme {
  readonly offsets: readonly number[];
  readonly slope: readonly number[];
  readonly bend: readonly number[];
  /** Weight of the middle in the second derivative. */
  readonly middle: number;
}

const SIXTH: Scheme = {
  offsets: [-3, -2, -1, 1, 2, 3],
  slope: [-1, 9, -45, 45, -9, 1].map((weight) => weight / 60),
  bend: [2, -27, 270, 270, -27, 2].map((weight) => weight / 180),
  middle: -490 / 180,
};
const SECOND: Scheme = { offsets: [-1, 1], slope: [-0.5, 0.5], bend: [1, 1], middle: -2 };

const weighted = (weights: readonly number[], values: readonly number[]): number => {
  let sum = 0;
  for (let i = 0; i < weights.length; i++) sum += weights[i]! * values[i]!;
  return sum;
};

/**
 * The first derivative from the six values at -3, -2, -1, 1, 2 and 3 steps, to sixth order in the step; or from the two at
 * -1 and 1, to second order. In the unit of the values for each unit of the step.
 *
 * Source: Fornberg (1988), Mathematics of Computation 51, 699-706, table 1 (the weights).
 *
 * @example slopeAlong([-2, -1, 0, 2, 3, 4].map((x) => x ** 6), 1) // 6: exact for x^6, at x = 1
 * @example slopeAlong([1, 9], 1) // 4: of x^2 at x = 2
 */
export function slopeAlong(values: readonly number[], step: number): number {
  return weighted((values.length === 2 ? SECOND : SIXTH).slope, values) / step;
}

/**
 * The function at -3, -2, -1, 1, 2 and 3 steps from `at` along each axis, one list for each axis: what `slopeAlong` needs.
 *
 * @example
 * const [alongX, alongY] = differencesAlongAxes(([x, y]) => x! * y!, Float64Array.of(1, 2), 1);
 * alongX // [-4, -2, 0, 4, 6, 8]
 * slopeAlong(alongY!, 1) // 1
 */
export function differencesAlongAxes<T>(f: (x: Float64Array) => T, at: Float64Array, step: number): T[][] {
  return Array.from(at, (_, a) => resultsAlong(f, at, step, SIXTH, (i) => i === a));
}

function resultsAlong<T>(
  f: (x: Float64Array) => T,
  at: Float64Array,
  step: number,
  { offsets }: Scheme,
  moves: (i: number) => boolean,
): T[] {
  return offsets.map((offset) => f(at.map((value, i) => (moves(i) ? value + offset * step : value))));
}

/**
 * Gradient and Hessian of a smooth function of variables of order one, by central differences along every axis and
 * every sum of two axes (the second derivative along a + b holds the mixed one). To sixth order with the step given,
 * truncation and rounding both stay near 1e-10 of the function's own scale, for 3 k (k + 1) evaluations and k variables;
 * to second order it takes a third of them.
 * Source: Fornberg (1988), Mathematics of Computation 51, 699-706, table 1 (the weights).
 *
 * @example
 * const { gradient, hessian } = centralDifferences(([x, y]) => ({ value: x! * y! }), Float64Array.of(1, 2));
 * gradient // [2, 1]
 * hessian // [0, 1, 1, 0]
 */
export function centralDifferences<T extends { readonly value: number }>(
  f: (x: Float64Array) => T,
  at: Float64Array,
  step = 0.02,
  order: 'second' | 'sixth' = 'sixth',
): Differences<T> {
  const scheme = order === 'sixth' ? SIXTH : SECOND;
  const k = at.length;
  const here = f(Float64Array.from(at));
  const values = (results: readonly T[]) => results.map(({ value }) => value);
  const bendOf = (results: readonly T[]) =>
    (scheme.middle * here.value + weighted(scheme.bend, values(results))) / (step * step);
  const along = Array.from(at, (_, a) => resultsAlong(f, at, step, scheme, (i) => i === a));
  const gradient = Float64Array.from(along, (results) => weighted(scheme.slope, values(results)) / step);
  const hessian = new Float64Array(k * k);
  for (let a = 0; a < k; a++) hessian[a * k + a] = bendOf(along[a]!);
  for (let a = 0; a < k; a++)
    for (let b = 0; b < a; b++) {
      const both = bendOf(resultsAlong(f, at, step, scheme, (i) => i === a || i === b));
      const mixed = 0.5 * (both - hessian[a * k + a]! - hessian[b * k + b]!);
      hessian[a * k + b] = mixed;
      hessian[b * k + a] = mixed;
    }
  return { value: here.value, gradient, hessian, here, along };
}
