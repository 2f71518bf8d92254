import type { Recipe } from '../recipe/recipe.ts';
import { MODELLED_METRICS } from './modelled-metrics.ts';
import { deviations, type PathModel } from './path-model.ts';

/**
 * The true values of one swing, one for each modelled metric.
 *
 * @param means what is usual at the golfer's skill
 * @param own the own parts of golfer, visit, swing and learning, added up
 * @param speedShare 1 for a full swing; below 1 the drill task at that share of full speed
 */
export function trueSwing(
  recipe: Recipe,
  model: PathModel,
  means: Float64Array,
  own: Float64Array,
  task: 'full' | 'drill',
  speedShare: number,
): Float64Array {
  const values = deviations(model, own);
  for (let m = 0; m < values.length; m++)
    values[m] = inTask(recipe, m, means[m]! + values[m]!, task, speedShare);
  return values;
}

/** The value of metric m in a task, from its value in a full swing. */
export function inTask(
  recipe: Recipe,
  m: number,
  fullSwing: number,
  task: 'full' | 'drill',
  speedShare: number,
): number {
  const metric = recipe.metrics[MODELLED_METRICS[m]!];
  const value =
    task === 'drill'
      ? fullSwing * speedShare ** (metric.speedPower ?? 0) + (metric.drillTaskShift ?? 0)
      : fullSwing;
  return Math.max(metric.atLeast ?? -Infinity, value);
}
