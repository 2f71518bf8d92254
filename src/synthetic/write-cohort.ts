import { datasetFromRows, writeDataset } from '../dataset/index.ts';
import { cohortReadme } from './cohort-readme.ts';
import type { Cohort } from './generate-cohort.ts';
import type { Recipe } from './recipe/recipe.ts';

/**
 * Write a cohort as a dataset folder (CSV tables, datapackage.json) with README.md and truth.json beside the tables: whole or
 * not at all, and never over anything.
 *
 * @param folder where to; must not exist, or be empty
 * @throws AlreadyThereError when the folder holds something
 * @throws Error when the recipe makes values that no dataset may hold, with the first of them
 * @example await writeCohort('out', recipe, generateCohort(recipe, 7))
 */
export async function writeCohort(folder: string, recipe: Recipe, cohort: Cohort): Promise<void> {
  const checked = datasetFromRows(cohort.tables);
  if (!checked.valid) {
    const first = checked.problems.find(({ severity }) => severity === 'error')!;
    throw new Error(
      `writeCohort: the recipe makes values that a dataset may not hold, such as ${first.column} = ${first.found} ` +
        `(expected ${first.expected}). Change the recipe's means or SDs.`,
    );
  }
  await writeDataset(folder, checked.value, {
    title: `${recipe.title} (invented)`,
    description: `${recipe.description} Drawn by recipe ${recipe.name} with seed ${cohort.truth.seed}; nobody was measured.`,
    files: {
      'README.md': cohortReadme(recipe, cohort),
      'truth.json': `${JSON.stringify(cohort.truth, null, 1)}\n`,
    },
  });
}
