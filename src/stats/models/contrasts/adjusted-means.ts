import type { Estimate, Fit } from '../contract.ts';
import { stateOf } from '../linear/fitted-design.ts';
import { type Family, type FamilyOptions, simultaneously } from './family.ts';
import { predictorColumns, predictorRow, type Setting } from './predictor-row.ts';

/** The mean outcome of one combination of levels with everything else held alike, in the unit of the outcome. */
export interface AdjustedMean extends Estimate {
  /** The levels it is the mean of. */
  readonly levels: Readonly<Record<string, string>>;
  /** Weights on the fixed effects, for contrasts of one's own through `simultaneously`. */
  readonly weights: Readonly<Record<string, number>>;
}

/** At which confidence level means are given, and at which values of the other columns. */
export interface MeansOptions {
  readonly level?: number;
  /** Values at which number columns are held; their means over the usable rows unless given. */
  readonly at?: Setting;
}

/**
 * Means of the outcome for each combination of levels of the factors named, adjusted for everything else: other
 * factors count each level the same, numbers stand at their mean (their powers and splines at that value),
 * random effects at zero. So the means compare levels as if all had been measured alike.
 * Throws when a column is no factor of the fixed effects, or for a fit that is not of a normal outcome with
 * independent residuals.
 * Source: Searle, Speed and Milliken (1980), American Statistician 34, 216-221.
 *
 * @example
 * const model = { outcome: 'y', fixed: ['intercept', { column: 'arm' }] };
 * const outcome = fitModel(model, { y: [0, 2, 3, 5], arm: ['p', 'p', 'q', 'q'] });
 * outcome.ok && adjustedMeans(outcome.fit, ['arm']).map(({ estimate }) => estimate) // [1, 4]
 */
export function adjustedMeans(
  fit: Fit,
  factors: readonly string[],
  options: MeansOptions = {},
): AdjustedMean[] {
  const state = stateOf(fit);
  if (!state)
    throw new Error(
      'adjustedMeans: only fits of a normal outcome with independent residuals can be asked for it',
    );
  const { model, kept } = state.design;
  const columns = predictorColumns(model, kept);
  if (factors.length === 0) throw new Error('adjustedMeans: name at least one factor');
  for (const factor of factors)
    if (!columns.factors.has(factor))
      throw new Error(
        `adjustedMeans: ${factor} is no factor of the fixed effects; the factors are ${[...columns.factors.keys()].join(', ') || 'none'}`,
      );
  const held: Record<string, number | string> = {};
  for (const column of columns.numbers) {
    const values = kept.numbers(column);
    held[column] = values.reduce((sum, value) => sum + value, 0) / values.length;
  }
  Object.assign(held, options.at);
  const combined = (names: readonly string[]): Record<string, string>[] =>
    names.reduce<Record<string, string>[]>(
      (made, name) =>
        made.flatMap((one) => columns.factors.get(name)!.map((level) => ({ ...one, [name]: level }))),
      [{}],
    );
  const others = combined(
    [...columns.factors.keys()].filter(
      (name) => !factors.includes(name) && !Object.hasOwn(options.at ?? {}, name),
    ),
  );
  const names = fit.result.fixed.map(({ term }) => term);
  return combined(factors).map((levels) => {
    const weights: Record<string, number> = {};
    for (const rest of others) {
      const row = predictorRow('adjustedMeans', model, kept, { ...held, ...rest, ...levels });
      names.forEach((name, i) => {
        weights[name] = (weights[name] ?? 0) + row[i]! / others.length;
      });
    }
    return { levels, weights, ...fit.combine({ fixed: weights }, options.level) };
  });
}

/**
 * All pairwise differences of adjusted means (the first named minus the second), as one family.
 *
 * @example
 * const model = { outcome: 'y', fixed: ['intercept', { column: 'arm' }] };
 * const outcome = fitModel(model, { y: [0, 2, 3, 5, 9, 7], arm: ['p', 'p', 'q', 'q', 'r', 'r'] });
 * outcome.ok && pairwiseDifferences(outcome.fit, 'arm').members.map(({ name }) => name) // ['p - q', 'p - r', 'q - r']
 */
export function pairwiseDifferences(
  fit: Fit,
  factor: string,
  options: FamilyOptions & Pick<MeansOptions, 'at'> = {},
): Family {
  const means = adjustedMeans(fit, [factor], options.at ? { at: options.at } : {});
  const pairs = means.flatMap((first, i) =>
    means.slice(i + 1).map((second) => ({
      name: `${first.levels[factor]} - ${second.levels[factor]}`,
      fixed: Object.fromEntries(
        Object.keys(first.weights).map((term) => [term, first.weights[term]! - second.weights[term]!]),
      ),
    })),
  );
  return simultaneously(fit, pairs, options);
}
