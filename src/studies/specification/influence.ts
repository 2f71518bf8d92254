import type { SpecificationChoice } from './choice.ts';
import type { SpecificationInfluence, SpecificationRow } from './specification.ts';

/**
 * For each choice, the mean estimate under each of its options over all combinations of the others, and how far
 * these means lie apart: the largest first.
 */
export function influences(
  choices: readonly SpecificationChoice[],
  answered: readonly SpecificationRow[],
): SpecificationInfluence[] {
  return choices
    .map(({ key, options }): SpecificationInfluence => {
      const means = options.flatMap((option) => {
        const own = answered.filter((row) => row.chosen[key] === option.key);
        if (own.length === 0) return [];
        const mean = own.reduce((sum, row) => sum + row.value!, 0) / own.length;
        return [{ option: option.key, mean, count: own.length }];
      });
      const values = means.map(({ mean }) => mean);
      return {
        choice: key,
        spread: values.length === 0 ? 0 : Math.max(...values) - Math.min(...values),
        means,
      };
    })
    .toSorted((a, b) => b.spread - a.spread);
}
