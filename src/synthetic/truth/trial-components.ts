import type { ModelledMetric } from '../model/modelled-metrics.ts';
import { pathModel } from '../model/path-model.ts';
import type { Recipe } from '../recipe/recipe.ts';
import { linearColumns } from './linear-columns.ts';
import { populationTruth } from './population-truth.ts';

/** What a trial of a drill is made of for one column, in its unit, as a recipe plants it. */
export interface TrialComponents {
  /** SD between golfers at the start. */
  readonly golferSd: number;
  /** SD of golfers' own changes from before to after without the drill. */
  readonly changeSd: number;
  /** SD of what golfers get out of the drill. */
  readonly responseSd: number;
  /** SD between visits of a golfer. */
  readonly sessionSd: number;
  /** SD between swings of a visit, measurement included. */
  readonly swingSd: number;
  /** What the drill does on average, at post. */
  readonly effect: number;
}

/**
 * What the recipe plants for a trial that is decided by this column; null where the column is no exact sum of normal
 * parts (a floor, a rating, a yes or no), so that its SDs do not describe it.
 *
 * @example trialComponents(recipe, 'shaft_lean_impact_deg')?.effect // 2.192
 */
export function trialComponents(recipe: Recipe, column: string): TrialComponents | null {
  const model = pathModel(recipe.metrics);
  const linear = linearColumns(recipe, model).find((own) => own.column === column);
  if (linear === undefined) return null;
  const { varianceComponents, individualResponseSd, drillEffect } = populationTruth(recipe);
  const { golfer, session, swing } = varianceComponents[column]!;
  const { weights } = linear;
  const practice = Object.entries(recipe.learning.practice).reduce(
    (sum, [metric, { sd }]) => sum + (weights[model.index[metric as ModelledMetric]]! * sd) ** 2,
    0,
  );
  return {
    golferSd: Math.sqrt(golfer),
    changeSd: Math.sqrt(practice),
    responseSd: individualResponseSd[column] ?? 0,
    sessionSd: Math.sqrt(session),
    swingSd: Math.sqrt(swing),
    effect: drillEffect[column] ?? 0,
  };
}

/**
 * The columns for which `trialComponents` has an answer.
 *
 * @example componentColumns(recipe).every((column) => trialComponents(recipe, column) !== null) // true
 * @example componentColumns(recipe).includes('shaft_lean_impact_deg') // true
 */
export function componentColumns(recipe: Recipe): string[] {
  return linearColumns(recipe, pathModel(recipe.metrics)).map(({ column }) => column);
}
