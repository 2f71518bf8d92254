import type { Recipe } from './recipe.ts';

/** A fault in a recipe: where (JSON path), what was found, what was expected, what to do. */
export interface RecipeProblem {
  readonly where: string;
  readonly found: string;
  readonly expected: string;
  readonly remedy: string;
}

/** A recipe that can be drawn from, or everything that is wrong with it. */
export type CheckedRecipe =
  | { readonly valid: true; readonly recipe: Recipe }
  | { readonly valid: false; readonly problems: readonly RecipeProblem[] };

/**
 * A problem as one line for a reader.
 *
 * @example
 * recipeProblemText({ where: '/seed', found: 'seven', expected: 'a whole number', remedy: 'Write 7.' })
 * // '/seed: found seven; expected a whole number. Write 7.'
 */
export function recipeProblemText(problem: RecipeProblem): string {
  return `${problem.where}: found ${problem.found}; expected ${problem.expected}. ${problem.remedy}`;
}
