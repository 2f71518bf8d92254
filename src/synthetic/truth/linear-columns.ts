import { MODELLED_METRICS, type ModelledMetric, SUM_COLUMNS } from '../model/modelled-metrics.ts';
import type { PathModel } from '../model/path-model.ts';
import type { Recipe } from '../recipe/recipe.ts';

/** A column of swings that is an exact sum of own parts: column = constant + weights x own parts. */
export interface LinearColumn {
  readonly column: string;
  /** The modelled metrics it is the sum of. */
  readonly parts: Readonly<Partial<Record<ModelledMetric, number>>>;
  /** One weight for the own part of each modelled metric. */
  readonly weights: Float64Array;
}

const NO_COLUMN: readonly ModelledMetric[] = ['lag_gain_deg', 'strike_offset_mm'];

/** The columns for which means, effects and variances follow exactly: those without a floor, and their sums. */
export function linearColumns(recipe: Recipe, model: PathModel): LinearColumn[] {
  const single = MODELLED_METRICS.filter(
    (metric) => !NO_COLUMN.includes(metric) && recipe.metrics[metric].atLeast === undefined,
  ).map((metric) => [metric, { [metric]: 1 }] as const);
  const sums = Object.entries(SUM_COLUMNS).filter(([, parts]) =>
    Object.keys(parts).every((metric) => recipe.metrics[metric as ModelledMetric].atLeast === undefined),
  );
  return [...single, ...sums].map(([column, parts]) => ({ column, parts, weights: weightsOf(model, parts) }));
}

/** What a sum of metrics weighs the own part of each metric with. */
export function weightsOf(
  model: PathModel,
  parts: Readonly<Partial<Record<ModelledMetric, number>>>,
): Float64Array {
  const n = MODELLED_METRICS.length;
  const weights = new Float64Array(n);
  for (const [metric, factor] of Object.entries(parts))
    for (let k = 0; k < n; k++)
      weights[k]! += factor * model.loadings[model.index[metric as ModelledMetric] * n + k]!;
  return weights;
}

/** weights x own parts. */
export function dot(weights: Float64Array, own: ArrayLike<number>): number {
  let sum = 0;
  for (let k = 0; k < weights.length; k++) sum += weights[k]! * own[k]!;
  return sum;
}
