import {
  CURVES_RESOURCE,
  datasetFiles,
  datasetFromRows,
  type RowsInput,
  writeNewFolder,
} from '../dataset/index.ts';
import { curvesCsv } from './cohort-curves.ts';
import { cohortReadme } from './cohort-readme.ts';
import type { Cohort } from './generate-cohort.ts';
import type { Recipe } from './recipe/recipe.ts';
import type { RecipeProblem } from './recipe/recipe-problem.ts';

/**
 * Write a cohort as a dataset folder (CSV tables, datapackage.json) with README.md and truth.json beside the tables: whole
 * or not at all, and never over anything.
 *
 * @param folder where to; must not exist, or be empty
 * @returns no problem when it was written; else what no dataset may hold, with nothing written
 * @throws AlreadyThereError when the folder holds something
 * @example await writeCohort('out', recipe, generateCohort(recipe, 7)) // []
 */
export async function writeCohort(
  folder: string,
  recipe: Recipe,
  cohort: Cohort,
): Promise<readonly RecipeProblem[]> {
  const problems = unusableValues(cohort);
  if (problems.length === 0) await writeNewFolder(folder, cohortFiles(recipe, cohort, cohort.tables));
  return problems;
}

/** What no dataset may hold. */
export function unusableValues(cohort: Cohort): RecipeProblem[] {
  const checked = datasetFromRows(cohort.tables);
  if (checked.valid) return [];
  return checked.problems
    .filter(({ severity }) => severity === 'error')
    .map(({ column, found, expected }) => ({
      where: `/metrics/${column}`,
      found: `a drawn value of ${found}`,
      expected,
      remedy:
        "Change the recipe's means or SDs; where one value in thousands is meant, another seed will do.",
    }));
}

/**
 * The files of a cohort's folder, by path.
 *
 * @param tables of the cohort, and further ones
 * @throws Error where a table does not hold together; ask unusableValues first
 */
export function cohortFiles(recipe: Recipe, cohort: Cohort, tables: RowsInput): Record<string, string> {
  const checked = datasetFromRows(tables);
  if (!checked.valid)
    throw new Error('cohortFiles: the tables do not make a dataset; ask unusableValues first.');
  const curves = cohort.curves.length > 0;
  return {
    'README.md': cohortReadme(recipe, cohort),
    'truth.json': `${JSON.stringify(cohort.truth, null, 1)}\n`,
    ...(curves ? { 'curves.csv': curvesCsv(cohort.curves) } : {}),
    ...datasetFiles(checked.value, {
      title: `${recipe.title} (invented)`,
      description: `${recipe.description} Drawn by recipe ${recipe.name} with seed ${cohort.truth.seed}; nobody was measured.`,
      ...(curves ? { resources: [CURVES_RESOURCE] } : {}),
    }),
  };
}
