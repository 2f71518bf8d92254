import { type PathModel, pathModel } from './model/path-model.ts';
import { type SwingRecord, swingRecords } from './model/swing-record.ts';
import type { Recipe } from './recipe/recipe.ts';

/** A recipe with what is worked out from it once. */
export interface Setting {
  readonly recipe: Recipe;
  readonly model: PathModel;
  readonly newRow: () => SwingRecord;
}

export function settingOf(recipe: Recipe): Setting {
  return { recipe, model: pathModel(recipe.metrics), newRow: swingRecords(recipe) };
}
