import { solveUpperTransposed } from '../../../numerics/index.ts';
import type { Combination } from '../contract.ts';
import type { JointWeights } from '../linear/conditional-effects.ts';
import type { FittedDesign } from '../linear/fitted-design.ts';
import { randomWeights } from './random-weights.ts';

/** A combination in the coordinates of the fit. */
export interface PlacedCombination {
  /** As named, in the order of the fixed effects. */
  readonly named: Float64Array;
  readonly weights: JointWeights;
  /** What the fit took off the outcome, weighed alike, in the outcome's unit. */
  readonly start: number;
}

/**
 * Weights on named effects, by where they stand in the fit.
 *
 * @throws Error for a term, group, level or effect that is not part of the model
 */
export function jointWeightsOf(
  { design }: FittedDesign,
  { fixed, random: parts = [] }: Combination,
): PlacedCombination {
  const { system, places } = design.assembled;
  const p = design.fixedNames.length;
  const named = new Float64Array(p);
  for (const [term, weight] of Object.entries(fixed)) {
    const at = design.fixedNames.indexOf(term);
    if (at < 0)
      throw new Error(`combine: no fixed term ${term}; the terms are ${design.fixedNames.join(', ')}`);
    named[at] = weight;
  }
  const contrast = Float64Array.from(named);
  solveUpperTransposed(design.upper, p, contrast);
  const random = system.stages.map(() => new Map<number, Float64Array>());
  for (const { term, level, effect, weight } of randomWeights(parts, design.groupings, design.terms)) {
    const { toModel, effects } = design.terms[term]!;
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
  const start = named.reduce((sum, weight, a) => sum + weight * design.start[a]!, 0);
  return { named, weights: { fixed: contrast, random }, start };
}
