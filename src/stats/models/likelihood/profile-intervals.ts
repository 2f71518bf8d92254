import { chiSquaredUpperQuantile, solveUpperTransposed } from '../../../numerics/index.ts';
import type { Fit } from '../contract.ts';
import type { Design } from '../design/design.ts';
import { stateOf } from '../linear/fitted-design.ts';
import { findOptimum, type Optimum } from '../linear/optimum.ts';
import { type ProfiledDeviance, profiledDeviance } from '../linear/profiled-deviance.ts';
import {
  nameOf,
  placeOf,
  type Quantity,
  quantitiesOf,
  type WeightedSum,
  writeEstimates,
} from '../resample/quantities.ts';
import { holdCorrelation } from './held-correlation.ts';
import { holdFixed } from './held-fixed.ts';
import { type Held, holdResidual, holdSd } from './held-scale.ts';

/** The interval of one parameter from its profile likelihood, in the unit of the parameter. */
export interface ProfileInterval {
  readonly name: string;
  /** The maximum likelihood estimate. */
  readonly estimate: number;
  readonly interval: readonly [number, number];
  /** Where an end is the edge of what is possible, or could not be found: in words. */
  readonly notes: readonly string[];
}

interface Side {
  readonly held: Held;
  readonly estimate: number;
  readonly best: number;
  readonly target: number;
  /** Where the quantity cannot go beyond. */
  readonly edge: number;
  readonly step: number;
}

/**
 * Profile-likelihood intervals of the fixed effects (or weighted sums of them), SDs, correlations and the residual SD: the
 * values which, held, raise the least deviance of all other parameters by no more than the chi-squared quantile.
 * The likelihood is the unrestricted one, whatever the criterion of the fit. Each end is found by secant steps on the
 * square root of the rise, which is nearly straight, inside a bracket; held fits start from the ones before.
 * Source: Venzon and Moolgavkar (1988), Applied Statistics 37, 87-94 (the interval); Bates and Watts (1988), Nonlinear
 * Regression Analysis, section 6.1.2 (the signed root).
 * Throws when the fit is not that of a normal model with constant residual variance, or a quantity is not one of its own;
 * crossed groups are not profiled.
 *
 * @example
 * const random = [{ group: 'Subject', effects: ['intercept', 'Days'] }];
 * const outcome = fitModel({ outcome: 'Reaction', fixed: ['intercept', { column: 'Days' }], random }, sleep);
 * outcome.ok && profileIntervals(outcome.fit, [{ kind: 'fixed', term: 'Days' }])[0]!.interval // [7.3587, 13.5759]
 */
export function profileIntervals(
  fit: Fit,
  wanted?: readonly (Quantity | WeightedSum)[],
  level = 0.95,
): ProfileInterval[] {
  const state = stateOf(fit);
  if (!state || state.residual || fit.model.errorSd)
    throw new Error('profileIntervals: hand in a fit of a normal model with constant residual variance');
  if (!(level > 0 && level < 1))
    throw new Error(`profileIntervals: the level must lie between 0 and 1; found ${level}`);
  const { design } = state;
  const { system, shape } = design.assembled;
  const deviance = profiledDeviance(system, shape, 'ml');
  const optimum = findOptimum(system, shape, deviance);
  if (!optimum.converged) throw new Error('profileIntervals: the maximum likelihood fit did not converge');
  const theta = Float64Array.from(optimum.theta);
  const best = optimum.evaluation.value;
  const target = Math.sqrt(chiSquaredUpperQuantile(1 - level, 1));
  const quantities = quantitiesOf(design);
  const estimates = new Float64Array(quantities.length);
  writeEstimates(
    design,
    { start: design.start, scale: design.outcomeScale },
    optimum,
    deviance.degrees,
    estimates,
    0,
  );
  const errors = standardErrors(design, optimum, deviance);
  return (wanted ?? quantities).map((quantity): ProfileInterval => {
    const name = nameOf(quantity);
    if (quantity.kind === 'fixed' || quantity.kind === 'sum') {
      const weights = quantity.kind === 'sum' ? quantity.weights : { [quantity.term]: 1 };
      const named = new Float64Array(design.fixedNames.length);
      for (const [term, weight] of Object.entries(weights)) {
        const at = design.fixedNames.indexOf(term);
        if (at < 0)
          throw new Error(
            `profileIntervals: no fixed term ${term}; the terms are ${design.fixedNames.join(', ')}`,
          );
        named[at] = weight;
      }
      const dot = (values: Float64Array) => named.reduce((sum, weight, a) => sum + weight * values[a]!, 0);
      const c = Float64Array.from(named);
      solveUpperTransposed(design.upper, named.length, c);
      const held = holdFixed(design, c, dot(design.start));
      const estimate = dot(estimates);
      const side = { held, estimate, best, target, step: target * errors(c) };
      return ends(name, side, Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY);
    }
    const estimate = estimates[placeOf(quantities, quantity)]!;
    if (quantity.kind === 'residual-sd') {
      const held = holdResidual(design, deviance, theta);
      const step = (target * estimate) / Math.sqrt(2 * design.rows);
      return ends(name, { held, estimate, best, target, step }, 0, Number.POSITIVE_INFINITY);
    }
    const t = design.terms.findIndex(
      ({ group, effects }) =>
        group === quantity.group &&
        (quantity.kind === 'sd' ? [quantity.effect] : quantity.effects).every((effect) =>
          effects.includes(effect),
        ),
    );
    const { effects } = design.terms[t]!;
    if (quantity.kind === 'sd') {
      const held = holdSd(design, deviance, theta, t, effects.indexOf(quantity.effect));
      const step = estimate > 0 ? 0.35 * estimate : 0.1 * estimates[quantities.length - 1]!;
      return ends(name, { held, estimate, best, target, step }, 0, Number.POSITIVE_INFINITY);
    }
    const [a, b] = quantity.effects.map((effect) => effects.indexOf(effect)) as [number, number];
    if (Math.abs(estimate) > 1 - 1e-6 || optimum.free.length < theta.length)
      return {
        name,
        estimate,
        interval: [-1, 1],
        notes: ['A variance is estimated as zero, or the correlation as 1 or -1: the data do not bound it.'],
      };
    const held = holdCorrelation(design, deviance, theta, t, a, b);
    return ends(name, { held, estimate, best, target, step: 0.4 }, -1, 1);
  });
}

/** The standard error of a weighted sum of fixed effects, weights in the coordinates of the fit. */
function standardErrors(design: Design, { evaluation }: Optimum, { degrees }: ProfiledDeviance) {
  const { inverseInformation, residualSum } = evaluation;
  const inverse = Float64Array.from(inverseInformation);
  const residualSd = design.outcomeScale * Math.sqrt(residualSum / degrees);
  return (c: Float64Array): number => {
    let variance = 0;
    for (let a = 0; a < c.length; a++)
      for (let b = 0; b < c.length; b++) variance += c[a]! * inverse[a * c.length + b]! * c[b]!;
    return Math.sqrt(variance) * residualSd;
  };
}

function ends(name: string, side: Omit<Side, 'edge'>, least: number, most: number): ProfileInterval {
  const notes: string[] = [];
  const end = (edge: number): number => {
    const found = findEnd({ ...side, edge });
    if (found === edge) notes.push(`The interval reaches ${edge}, the edge of what is possible.`);
    if (Number.isNaN(found))
      notes.push('One end was not found: the likelihood hardly falls in that direction.');
    return found;
  };
  return { name, estimate: side.estimate, interval: [end(least), end(most)], notes };
}

/** The value towards `edge` at which the root of the rise equals the target; the edge where it never does. */
function findEnd({ held, estimate, best, target, edge, step }: Side): number {
  const towards = edge > estimate ? 1 : -1;
  if (edge === estimate) return edge;
  let warm: Float64Array | null = null;
  const rise = (value: number): number => {
    const found = held.least(value, warm);
    warm = found.at;
    return Math.sqrt(Math.max(0, found.value - best)) - target;
  };
  const inside = (value: number, from: number) =>
    Number.isFinite(edge) && towards * (value - edge) >= 0 ? 0.5 * (from + edge) : value;
  let low = estimate;
  let lowRise = -target;
  let high = inside(estimate + towards * step, estimate);
  let highRise = rise(high);
  const nearest = Number.isFinite(edge) ? edge - towards * 1e-5 * Math.abs(edge - estimate) : Number.NaN;
  for (let tries = 0; highRise < 0; tries++) {
    if (tries > 30) return Number.NaN;
    if (Number.isFinite(edge) && Math.abs(edge - high) < 1e-3 * Math.abs(edge - estimate)) {
      if (rise(nearest) < 0) return edge;
      high = nearest;
      highRise = rise(nearest);
      break;
    }
    const slope = (highRise - lowRise) / (high - low);
    const reach = Math.max(1.02 * Math.abs(highRise / slope), 0.05 * Math.abs(high - low));
    low = high;
    lowRise = highRise;
    high = inside(high + towards * Math.min(reach, 4 * Math.abs(high - estimate)), high);
    highRise = rise(high);
  }
  // Illinois' rule keeps both ends of the bracket moving.
  for (let round = 0; round < 60; round++) {
    const next = high - (highRise * (high - low)) / (highRise - lowRise);
    const there = rise(next);
    if (Math.abs(there) < 1e-9 || Math.abs(high - low) < 1e-9 * (Math.abs(high) + Math.abs(low))) return next;
    if (there > 0 === highRise > 0) lowRise *= 0.5;
    else {
      low = high;
      lowRise = highRise;
    }
    high = next;
    highRise = there;
  }
  return high;
}
