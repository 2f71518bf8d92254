import type { Recipe } from './recipe/recipe.ts';

/**
 * The name of the study whose question a cohort of this recipe is there to answer.
 *
 * @example studyOfRecipe(recipe) // 'drill-trial'
 */
export function studyOfRecipe(recipe: Recipe): string {
  if (recipe.design.kind === 'series') return 'one-golfer';
  if (recipe.curves !== undefined) return 'waveform';
  if (recipe.teaching !== undefined) return 'instructors';
  if (recipe.devices !== undefined) return 'noise';
  return recipe.design.kind === 'roster' ? 'mechanism' : 'drill-trial';
}
