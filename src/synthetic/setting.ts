import type { GolferDistributions } from './bodies/index.ts';
import { distributionsOf } from './model/mechanics.ts';
import { type PathModel, pathModel } from './model/path-model.ts';
import { type SwingRecord, swingRecords } from './model/swing-record.ts';
import type { Recipe } from './recipe/recipe.ts';

/** A recipe with what is worked out from it once. */
export interface Setting {
  readonly recipe: Recipe;
  /** How deviations of visits and swings travel, at the mean slopes. */
  readonly model: PathModel;
  /** How lasting deviations of golfers travel. */
  readonly golferModel: PathModel;
  /** What bodies and timings are drawn from; null where swings come from paths. */
  readonly mechanics: GolferDistributions | null;
  readonly newRow: () => SwingRecord;
}

export function settingOf(recipe: Recipe): Setting {
  const model = pathModel(recipe.metrics);
  const apart = Object.values(recipe.metrics).some(({ golferPaths }) => golferPaths !== undefined);
  return {
    recipe,
    model,
    golferModel: apart ? pathModel(recipe.metrics, 'golfer') : model,
    mechanics: distributionsOf(recipe),
    newRow: swingRecords(recipe),
  };
}
