/** Recipes and cohorts with known truth. Everything made here is invented. */

export * from './bodies/index.ts';
export * from './captures/index.ts';
export type { SwingCurve } from './cohort-curves.ts';
export type { CohortTables } from './cohort-tables.ts';
export { type Cohort, generateCohort } from './generate-cohort.ts';
export * from './mechanics/index.ts';
export { checkRecipe } from './recipe/check-recipe.ts';
export { loadRecipe, recipeNames } from './recipe/load-recipe.ts';
export type { Recipe } from './recipe/recipe.ts';
export { type CheckedRecipe, type RecipeProblem, recipeProblemText } from './recipe/recipe-problem.ts';
export { studyOfRecipe } from './recipe-study.ts';
export type { GolferTruth, Truth } from './truth/cohort-truth.ts';
export type { CurveTruth, DevicesTruth, SeriesTruth, TeachingTruth } from './truth/further-truth.ts';
export type { MovementTruth } from './truth/mechanics-truth.ts';
export type { MechanismTruth } from './truth/mechanism-truth.ts';
export type { PopulationTruth, VarianceComponents } from './truth/population-truth.ts';
export { componentColumns, type TrialComponents, trialComponents } from './truth/trial-components.ts';
export { type CapturedCohort, writeCapturedCohort } from './write-captured-cohort.ts';
export { writeCohort } from './write-cohort.ts';
