import type { FixedEffect } from './fixed-columns.ts';

/**
 * The contrasts (rows over all fixed columns) whose joint test is the test of one effect. An effect that also
 * takes part in products with factors is tested at the mean over those factors' levels, each level counting
 * the same; a number it is multiplied with stays at zero. So with `age x sex` in the model the test of `age`
 * asks whether the mean of the sexes' slopes is zero, whatever the coding.
 * Source: the marginal hypotheses of Yates (1934), JASA 29, 51-66, in the cell-means form of Searle, Speed and
 * Milliken (1980), American Statistician 34, 216-221.
 */
export function effectContrasts(
  effect: FixedEffect,
  all: readonly FixedEffect[],
  columns: number,
): Float64Array[] {
  const own = effect.variables.map(({ name }) => name);
  return effect.columns.map(({ index, choice }) => {
    const contrast = new Float64Array(columns);
    contrast[index] = 1;
    for (const other of all) {
      if (other === effect || other.variables.length <= own.length) continue;
      const places = own.map((name) => other.variables.findIndex((variable) => variable.name === name));
      const extra = other.variables.filter(({ name }) => !own.includes(name));
      if (places.includes(-1) || extra.some(({ kind }) => kind !== 'factor')) continue;
      for (const column of other.columns) {
        if (places.some((place, i) => column.choice[place] !== choice[i])) continue;
        let weight = 1;
        other.variables.forEach(({ name, columns: codes }, v) => {
          if (!own.includes(name)) weight *= codes[column.choice[v]!]!.average;
        });
        contrast[column.index] = contrast[column.index]! + weight;
      }
    }
    return contrast;
  });
}
