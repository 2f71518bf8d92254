import {
  choleskyInPlace,
  inverseOfPositiveDefinite,
  solveLower,
  solveLowerTransposed,
} from '../../../numerics/index.ts';
import type { GeneralisedDesign } from './generalised-design.ts';
import { rowTerms } from './likelihood/likelihood.ts';
import { recedes } from './separation.ts';

/** The maximum of the likelihood without random terms, in the coordinates of the fit. */
export interface MaximumLikelihood {
  /** Thresholds (ascending), then coefficients. */
  readonly at: Float64Array;
  /** Without the constant of the data. */
  readonly logLikelihood: number;
  readonly gradient: Float64Array;
  /** Inverse of the observed information, or null where that is singular. */
  readonly covariance: Float64Array | null;
  readonly converged: boolean;
}

/** Along `direction` (thresholds, then coefficients) the likelihood never falls: there is no maximum. */
export interface Receding {
  readonly direction: Float64Array;
}

/** Newton steps after which a search that goes on is asked whether it runs to infinity. */
const PATIENCE = 15;

/**
 * Newton's method on the log likelihood, which is concave in thresholds and coefficients for all three
 * distributions; steps are halved where it would not rise. A search that runs off is stopped as soon as
 * its direction is proved to be one along which no row's likelihood falls. Null where no start has a likelihood.
 */
export function maximumLikelihood(design: GeneralisedDesign): MaximumLikelihood | Receding | null {
  const { rows, likelihood, x, offset } = design;
  const p = design.fixedNames.length;
  const cuts = likelihood.thresholds?.count ?? 0;
  const size = cuts + p;
  const terms = rowTerms(rows);
  const eta = new Float64Array(rows);
  let at = startOf(design);

  const evaluate = (parameters: Float64Array): number => {
    for (let k = 1; k < cuts; k++)
      if (!(parameters[k]! > parameters[k - 1]!)) return Number.NEGATIVE_INFINITY;
    likelihood.thresholds?.set(parameters.subarray(0, cuts));
    for (let i = 0; i < rows; i++) eta[i] = offset ? offset[i]! : 0;
    for (let k = 0; k < p; k++)
      for (let i = 0; i < rows; i++) eta[i] = eta[i]! + parameters[cuts + k]! * x[k * rows + i]!;
    likelihood.evaluate(eta, terms);
    let sum = 0;
    for (let i = 0; i < rows; i++) sum += terms.value[i]!;
    return Number.isNaN(sum) ? Number.NEGATIVE_INFINITY : sum;
  };
  const derivatives = (): { gradient: Float64Array; information: Float64Array } => {
    const gradient = new Float64Array(size);
    const information = new Float64Array(size * size);
    likelihood.thresholds?.addScore(null, gradient);
    likelihood.thresholds?.addInformation(x, p, information, size);
    for (let j = 0; j < p; j++) {
      let sum = 0;
      for (let i = 0; i < rows; i++) sum += x[j * rows + i]! * terms.score[i]!;
      gradient[cuts + j] = sum;
      for (let k = 0; k <= j; k++) {
        let product = 0;
        for (let i = 0; i < rows; i++) product += terms.weight[i]! * x[j * rows + i]! * x[k * rows + i]!;
        information[(cuts + j) * size + cuts + k] = product;
      }
    }
    for (let j = 0; j < size; j++)
      for (let k = 0; k < j; k++) information[k * size + j] = information[j * size + k]!;
    return { gradient, information };
  };

  let here = evaluate(at);
  if (!Number.isFinite(here)) return null;
  for (let round = 1; ; round++) {
    const { gradient, information } = derivatives();
    const step = Float64Array.from(gradient);
    const factor = Float64Array.from(information);
    const done = (converged: boolean): MaximumLikelihood => ({
      at,
      logLikelihood: here,
      gradient,
      covariance: inverseOfPositiveDefinite(information, size),
      converged,
    });
    if (!choleskyInPlace(factor, size)) return done(false);
    solveLower(factor, size, step);
    let promised = 0;
    for (let k = 0; k < size; k++) promised += step[k]! * step[k]!;
    solveLowerTransposed(factor, size, step);
    if (round >= PATIENCE && recedes(design, step)) return { direction: step };
    if (promised <= 1e-20 || round === 200) return done(promised <= 1e-20);
    let share = 1;
    let next = at;
    for (;;) {
      next = at.map((value, k) => value + share * step[k]!);
      const there = evaluate(next);
      if (there >= here - 1e-14 * (1 + Math.abs(here))) {
        here = there;
        break;
      }
      share *= 0.5;
      if (share < 1e-10) {
        here = evaluate(at);
        return done(promised <= 1e-9);
      }
    }
    at = next;
  }
}

/** Thresholds from the cumulative shares; coefficients from least squares of a rough predictor of each row. */
function startOf({
  rows,
  likelihood,
  x,
  offset,
  observed,
  trials,
  fixedNames,
  model,
}: GeneralisedDesign): Float64Array {
  const p = fixedNames.length;
  const cuts = likelihood.thresholds?.count ?? 0;
  const at = new Float64Array(cuts + p);
  if (cuts > 0) {
    const counts = new Float64Array(cuts + 1);
    for (const category of observed) counts[category] = counts[category]! + 1;
    let below = 0;
    let shift = 0;
    if (offset) for (let i = 0; i < rows; i++) shift += offset[i]! / rows;
    for (let k = 0; k < cuts; k++) {
      below += counts[k]!;
      at[k] = shift + Math.log(below / (rows - below));
    }
    return at;
  }
  for (let i = 0; i < rows; i++) {
    const y = observed[i]! + 0.5;
    const rough =
      model.distribution === 'count' ? Math.log(y) : Math.log(y / ((trials ? trials[i]! : 1) + 1 - y));
    const left = rough - (offset ? offset[i]! : 0);
    for (let k = 0; k < p; k++) at[k] = at[k]! + (x[k * rows + i]! * left) / rows;
  }
  return at;
}
