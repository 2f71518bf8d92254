import type { LevelPrediction } from '../contract.ts';
import { congruent } from '../linear/random-estimates.ts';
import type { FittedGeneralised } from './fitted-generalised.ts';

/**
 * Each level's random effects at their conditional mode, with the conditional covariance given the data and the
 * estimated parameters, Lambda H^-1 Lambda'.
 */
export function generalisedPredictions({ design, random }: FittedGeneralised): LevelPrediction[] {
  if (!random) return [];
  const { layout, effects, lambda, factor } = random;
  const { start } = layout.pattern;
  return design.terms.flatMap((term, t) => {
    const grouping = design.groupings.find(({ name }) => name === term.group)!;
    const q = term.effects.length;
    return grouping.levels.map((level, l): LevelPrediction => {
      const first = layout.terms[t]!.first[l]!;
      // A level's effects follow each other, so entry (a, c) stands a - c below the diagonal of column c.
      const inner = new Float64Array(q * q);
      for (let c = 0; c < q; c++)
        for (let a = c; a < q; a++) {
          const value = factor.inverse[start[first + c]! + a - c]!;
          inner[a * q + c] = value;
          inner[c * q + a] = value;
        }
      const covariance = congruent(term.toModel, congruent(lambda[t]!, inner, q), q);
      const rows = Array.from({ length: q }, (_, a) =>
        Array.from({ length: q }, (__, b) => covariance[a * q + b]!),
      );
      return {
        group: term.group,
        level,
        effects: term.effects,
        values: Array.from({ length: q }, (_, a) => {
          let sum = 0;
          for (let k = a; k < q; k++) sum += term.toModel[a * q + k]! * effects[first + k]!;
          return sum;
        }),
        conditionalSd: rows.map((row, a) => Math.sqrt(Math.max(0, row[a]!))),
        conditionalCovariance: rows,
      };
    });
  });
}
