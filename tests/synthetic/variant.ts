import { checkRecipe, loadRecipe, type Recipe, recipeProblemText } from '../../src/synthetic/index.ts';

export type DeepPartial<T> = T extends readonly unknown[]
  ? T
  : T extends object
    ? { [K in keyof T]?: DeepPartial<T[K]> }
    : T;

/** A recipe of the package with some numbers changed, checked. */
export async function variant(name: string, change: DeepPartial<Recipe> = {}): Promise<Recipe> {
  const loaded = await loadRecipe(name);
  if (!loaded.valid) throw new Error(loaded.problems.map(recipeProblemText).join('\n'));
  const checked = checkRecipe(merged(loaded.recipe, change));
  if (!checked.valid) throw new Error(checked.problems.map(recipeProblemText).join('\n'));
  return checked.recipe;
}

/** A deep copy with changes, for making recipes right and wrong; undefined removes a key. */
export function merged(target: unknown, change: unknown): unknown {
  if (change === null || typeof change !== 'object' || Array.isArray(change)) return change;
  const start = target !== null && typeof target === 'object' ? { ...target } : {};
  const result = start as Record<string, unknown>;
  for (const [key, value] of Object.entries(change))
    if (value === undefined) delete result[key];
    else result[key] = merged(result[key], value);
  return result;
}
