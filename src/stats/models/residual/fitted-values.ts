import type { Design } from '../design/design.ts';
import { conditionalEffects } from '../linear/conditional-effects.ts';
import { profiledDeviance } from '../linear/profiled-deviance.ts';

/**
 * The conditional fitted value of every row in the outcome's unit: fixed plus predicted random effects, offset
 * included. `fitted` is `design` itself or the same design whitened, at whose optimum `theta` the effects are taken.
 */
export function fittedValues(design: Design, fitted: Design, theta: Float64Array): Float64Array {
  const { rows, columns, terms, groupings, model, kept } = design;
  const { system, shape, places } = fitted.assembled;
  const p = design.fixedNames.length;
  const { nodes, settle } = profiledDeviance(system, shape, model.criterion ?? 'reml');
  const { beta } = settle(theta);
  const { means } = conditionalEffects(system, nodes, beta);
  const weights = model.weights === undefined ? null : kept.numbers(model.weights);
  const out = Float64Array.from(kept.numbers(model.outcome));
  for (let i = 0; i < rows; i++) {
    let residual = columns.outcome[i]!;
    for (let j = 0; j < p; j++) residual -= columns.fixed[j * rows + i]! * beta[j]!;
    terms.forEach((term, t) => {
      const q = term.effects.length;
      const { stage, node, offset } = places[t]!;
      const level = groupings.find(({ name }) => name === term.group)!.at[i]!;
      const first = node[level]! * system.stages[stage]!.effects + offset[level]!;
      for (let k = 0; k < q; k++) residual -= term.values[i * q + k]! * means[stage]![first + k]!;
    });
    out[i] = out[i]! - (residual * design.outcomeScale) / (weights ? Math.sqrt(weights[i]!) : 1);
  }
  return out;
}
