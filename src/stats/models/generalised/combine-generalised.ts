import type { Combination, Estimate } from '../contract.ts';
import { estimateOf } from '../inference/estimate.ts';
import { bilinear } from '../inference/inference.ts';
import { randomWeights } from '../inference/random-weights.ts';
import type { FittedGeneralised } from './fitted-generalised.ts';

/**
 * The `combine` of such a fit, on the scale of the linear predictor (log odds, or log of the mean). Fixed parts may name
 * thresholds too. With random parts the variance of the prediction error is the conditional variance given the
 * parameters plus that from estimating them, d' V d, where d is the derivative of the sum by all parameters (the modes
 * of the random effects move with them).
 * Source: Kass and Steffey (1989), JASA 84, 717-726, first order; Booth and Hobert (1998), JASA 93, 262-272.
 * Throws when a term, group, level or effect is not part of the model.
 */
export function generalisedCombiner(
  fitted: FittedGeneralised,
): (combination: Combination, level?: number) => Estimate {
  const { design, coefficients, thresholds, toNamed, free, covariance, random } = fitted;
  const { fixedNames, thresholdNames, groupings, terms } = design;
  const names = [...thresholdNames, ...fixedNames];
  const values = [...thresholds, ...coefficients];
  return (combination, level = design.model.inference?.level ?? 0.95) => {
    if (!(level > 0 && level < 1))
      throw new Error(`combine: the level must lie between 0 and 1; found ${level}`);
    const direction = new Float64Array(free);
    let estimate = 0;
    for (const [term, weight] of Object.entries(combination.fixed)) {
      const at = names.indexOf(term);
      if (at < 0) throw new Error(`combine: no fixed term ${term}; the terms are ${names.join(', ')}`);
      estimate += weight * values[at]!;
      for (let k = 0; k < free; k++) direction[k] = direction[k]! + weight * toNamed[at * free + k]!;
    }
    let conditional = 0;
    if (combination.random && combination.random.length > 0) {
      const weights = weightsOf(combination.random);
      const { effects, effectsBy, factor } = random!;
      for (let j = 0; j < effects.length; j++) {
        const weight = weights[j]!;
        if (weight === 0) continue;
        estimate += weight * effects[j]!;
        for (let k = 0; k < free; k++) direction[k] = direction[k]! + weight * effectsBy[j * free + k]!;
      }
      const spherical = toSpherical(weights);
      const solved = Float64Array.from(spherical);
      factor.solve(solved);
      for (let j = 0; j < solved.length; j++) conditional += spherical[j]! * solved[j]!;
    }
    const variance = bilinear(direction, covariance, direction) + conditional;
    return estimateOf(estimate, Math.sqrt(Math.max(0, variance)), null, level);
  };

  /** Weights on the random effects in the coordinates of the fit. */
  function weightsOf(parts: NonNullable<Combination['random']>): Float64Array {
    const out = new Float64Array(random ? random.effects.length : 0);
    for (const { term, level, effect, weight } of randomWeights(parts, groupings, terms)) {
      const { toModel, effects } = terms[term]!;
      const q = effects.length;
      const first = random!.layout.terms[term]!.first[level]!;
      for (let k = effect; k < q; k++) out[first + k] = out[first + k]! + weight * toModel[effect * q + k]!;
    }
    return out;
  }

  /** Lambda' w, level by level. */
  function toSpherical(weights: Float64Array): Float64Array {
    const out = new Float64Array(weights.length);
    const { layout, lambda } = random!;
    terms.forEach((term, t) => {
      const q = term.effects.length;
      for (const first of layout.terms[t]!.first)
        for (let c = 0; c < q; c++)
          for (let a = c; a < q; a++)
            out[first + c] = out[first + c]! + lambda[t]![a * q + c]! * weights[first + a]!;
    });
    return out;
  }
}
