import { minimiseInTrustRegion, type SecondOrder } from '../../../numerics/index.ts';
import type { Design } from '../design/design.ts';
import { freePositions } from '../linear/covariance-shape.ts';
import type { Evaluation, ProfiledDeviance } from '../linear/profiled-deviance.ts';

/** The least deviance with one quantity held at a value, all others free; `at` warms the next call. */
export interface Held {
  least(value: number, at: Float64Array | null): { readonly value: number; readonly at: Float64Array };
}

/** Deviance by covariance element: value, gradient and Hessian. */
interface ByElement {
  readonly value: number;
  readonly gradient: Float64Array;
  readonly hessian: Float64Array;
}

/** Enough for an end point to seven digits. */
const ENOUGH = 1e-9;

/** The minimum of a held deviance, from a start near it. */
export const searchHeld = (evaluate: (x: Float64Array) => SecondOrder, start: Float64Array) => {
  const { value, at } = minimiseInTrustRegion(evaluate, start, 100, ENOUGH);
  return { value, at };
};

/** log |V| of a maximum likelihood evaluation. */
function logDeterminant({ value, residualSum }: Evaluation, n: number): number {
  return value - n * (1 + Math.log((2 * Math.PI * residualSum) / n));
}

/**
 * With the residual variance s2 free of theta: log |V| + n log(2 pi s2) + r2 / s2, where 1 / s2 = v(g) / held^2 and v is a
 * linear function of the covariance elements with slopes `by` and value `v` (v = 1 and no slopes: s2 itself is held).
 */
function withResidual(here: Evaluation, n: number, held: number, v: number, by: Float64Array): ByElement {
  const m = by.length;
  const square = held * held;
  const { residualSum: r, residualSumBy, residualSumByTwo, logTermsBy, logTermsByTwo } = here;
  const gradient = new Float64Array(m);
  const hessian = new Float64Array(m * m);
  for (let i = 0; i < m; i++) {
    gradient[i] = logTermsBy[i]! + (r / square - n / v) * by[i]! + (v / square) * residualSumBy[i]!;
    for (let j = 0; j < m; j++)
      hessian[i * m + j] =
        logTermsByTwo[i * m + j]! +
        (n / (v * v)) * by[i]! * by[j]! +
        (by[i]! * residualSumBy[j]! + by[j]! * residualSumBy[i]!) / square +
        (v / square) * residualSumByTwo[i * m + j]!;
  }
  const value = logDeterminant(here, n) + n * Math.log((2 * Math.PI * square) / v) + (r * v) / square;
  return { value, gradient, hessian };
}

/** Holds a weighted reading of the covariance elements and the residual variance: an SD, or the residual SD itself. */
function holdScale(
  design: Design,
  deviance: ProfiledDeviance,
  optimum: Float64Array,
  readingOf: (theta: Float64Array) => number,
  by: Float64Array,
): Held {
  const { shape } = design.assembled;
  const m = by.length;
  const n = design.rows;
  return {
    least(value, at) {
      const held = value / design.outcomeScale;
      return searchHeld(
        (theta) => {
          const here = deviance.evaluate(theta);
          const v = readingOf(theta);
          const found = withResidual(here, n, held, v, by);
          const out = { gradient: new Float64Array(m), hessian: new Float64Array(m * m) };
          shape.fillTheta(theta, found.gradient, found.hessian, out);
          return { value: v > 0 ? found.value : Number.NaN, ...out };
        },
        at ?? Float64Array.from(optimum, (x) => (x === 0 ? 1e-3 : x)),
      );
    },
  };
}

export function holdResidual(design: Design, deviance: ProfiledDeviance, optimum: Float64Array): Held {
  return holdScale(design, deviance, optimum, () => 1, new Float64Array(optimum.length));
}

/** Holds the SD of effect `a` of term `t` (as the model names them). */
export function holdSd(
  design: Design,
  deviance: ProfiledDeviance,
  optimum: Float64Array,
  t: number,
  a: number,
): Held {
  const { shape, shapeTerm } = design.assembled;
  const { toModel, effects } = design.terms[t]!;
  const q = effects.length;
  const place = shapeTerm[t]!;
  const by = new Float64Array(optimum.length);
  freePositions(shape.terms[place]!).forEach(([row, column], e) => {
    const product = toModel[a * q + row]! * toModel[a * q + column]!;
    by[shape.starts[place]! + e] = row === column ? product : 2 * product;
  });
  const reading = (theta: Float64Array) => {
    const covariance = shape.covariance(theta, place);
    let sum = 0;
    for (let k = 0; k < q; k++)
      for (let l = 0; l < q; l++) sum += toModel[a * q + k]! * covariance[k * q + l]! * toModel[a * q + l]!;
    return sum;
  };
  return holdScale(design, deviance, optimum, reading, by);
}
