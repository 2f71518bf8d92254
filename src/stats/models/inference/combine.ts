import { solveUpperTransposed } from '../../../numerics/index.ts';
import type { Combination, Estimate } from '../contract.ts';
import { type JointWeights, jointPrediction } from '../linear/conditional-effects.ts';
import type { FittedDesign } from '../linear/fitted-design.ts';
import { estimateOf } from './estimate.ts';
import { bilinear } from './inference.ts';
import { randomWeights } from './random-weights.ts';
import { satterthwaiteDegrees, varianceParameterCovariance } from './satterthwaite.ts';

/**
 * The `combine` of a fit. Without random parts the standard error and degrees of freedom are those of the
 * model's own method. With random parts the standard error is that of the prediction error at the estimated
 * variances, and its degrees of freedom (unless the method is residual or normal) are Satterthwaite's, from the
 * derivative of that error variance by the variance parameters.
 * Source: Henderson (1975), Biometrics 31, 423-447; McLean, Sanders and Stroup (1991), American Statistician 45,
 * 54-64.
 * Throws when a term, group, level or effect is not part of the model.
 */
export function combiner(fitted: FittedDesign): (combination: Combination, level?: number) => Estimate {
  const { design, deviance, optimum, inference, residualSd, coefficients, residual, method } = fitted;
  const { system, shape, places } = design.assembled;
  const p = design.fixedNames.length;
  const index = new Map(design.fixedNames.map((name, i) => [name, i]));
  let spread: Float64Array | null | undefined;

  return (combination, level = fitted.level) => {
    if (!(level > 0 && level < 1))
      throw new Error(`combine: the level must lie between 0 and 1; found ${level}`);
    const named = new Float64Array(p);
    for (const [term, weight] of Object.entries(combination.fixed)) {
      const at = index.get(term);
      if (at === undefined)
        throw new Error(`combine: no fixed term ${term}; the terms are ${design.fixedNames.join(', ')}`);
      named[at] = weight;
    }
    const contrast = Float64Array.from(named);
    solveUpperTransposed(design.upper, p, contrast);
    let fixedPart = 0;
    for (let a = 0; a < p; a++) fixedPart += named[a]! * coefficients[a]!;
    if (!combination.random || combination.random.length === 0) {
      const known = (inference.missing?.(contrast) ?? null) === null;
      const variance = known ? bilinear(contrast, inference.covariance, contrast) : Number.NaN;
      return estimateOf(
        fixedPart,
        Math.sqrt(variance) * residualSd,
        known ? inference.degreesOfFreedom(contrast) : Number.NaN,
        level,
      );
    }

    const weights = jointWeights(fitted, contrast, combination.random);
    const at = (theta: Float64Array, from = { system, deviance }) =>
      jointPrediction(from.system, from.deviance.nodes, from.deviance.settle(theta), weights);
    const here = at(optimum.theta);
    let start = 0;
    for (let a = 0; a < p; a++) start += named[a]! * design.start[a]!;
    const estimate = start + design.outcomeScale * here.value;
    const standardError = Math.sqrt(Math.max(0, here.variance)) * residualSd;
    let degrees: number | null = system.rows - p;
    if (method === 'normal') degrees = null;
    else if (method !== 'residual' && optimum.theta.length > 0) {
      if (spread === undefined)
        spread = residual ? residual.spread : varianceParameterCovariance(optimum, shape, deviance.degrees);
      if (spread) {
        const slope = (moved: (by: number) => number, step: number) =>
          (8 * (moved(step) - moved(-step)) - (moved(2 * step) - moved(-2 * step))) / (12 * step);
        const gradient = Float64Array.of(
          ...optimum.free.map((i) =>
            slope(
              (by) => at(optimum.theta.map((value, j) => (j === i ? value + by : value))).variance,
              1e-4 * Math.max(1, Math.abs(optimum.theta[i]!)),
            ),
          ),
          ...Array.from({ length: residual?.count ?? 0 }, (_, i) =>
            slope((by) => at(optimum.theta, residual!.moved(i, by)).variance, 1e-3),
          ),
          here.variance,
        );
        degrees = satterthwaiteDegrees(here.variance, gradient, spread);
      }
    }
    return estimateOf(estimate, standardError, degrees, level);
  };

  function jointWeights(
    { design: { terms, groupings } }: FittedDesign,
    fixed: Float64Array,
    parts: NonNullable<Combination['random']>,
  ): JointWeights {
    const random = system.stages.map(() => new Map<number, Float64Array>());
    for (const { term, level, effect, weight } of randomWeights(parts, groupings, terms)) {
      const { toModel, effects } = terms[term]!;
      const q = effects.length;
      const { stage, node, offset } = places[term]!;
      let target = random[stage]!.get(node[level]!);
      if (!target) {
        target = new Float64Array(system.stages[stage]!.effects);
        random[stage]!.set(node[level]!, target);
      }
      for (let k = 0; k < q; k++)
        target[offset[level]! + k] = target[offset[level]! + k]! + weight * toModel[effect * q + k]!;
    }
    return { fixed, random };
  }
}
