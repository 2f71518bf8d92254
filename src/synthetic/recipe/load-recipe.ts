import { readdir } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { readRegularFile, readTypedJson } from '../../dataset/index.ts';
import { checkRecipe } from './check-recipe.ts';
import { mergePatch } from './merge-patch.ts';
import type { CheckedRecipe, RecipeProblem } from './recipe-problem.ts';
import { shown } from './schema-problems.ts';

/** The recipes that come with the package. */
export const RECIPE_FOLDER = fileURLToPath(new URL('../../../synthetic/recipes', import.meta.url));

const BASE = 'base';

/**
 * Names of the recipes that come with the package, in order.
 *
 * @example (await recipeNames()).includes('drill-before-after') // true
 */
export async function recipeNames(): Promise<string[]> {
  const files = await readdir(RECIPE_FOLDER);
  return files
    .filter((file) => file.endsWith('.json'))
    .map((file) => file.slice(0, -'.json'.length))
    .filter((name) => name !== BASE)
    .sort();
}

/**
 * Read, complete and check a recipe. A recipe that names a `base` starts from that recipe (of the package, or
 * a file beside it) and changes what it says itself.
 *
 * @param pathOrName a file ending in .json, or the name of a recipe of the package
 * @returns the recipe, or all its faults with their JSON paths
 * @example (await loadRecipe('drill-parallel-effect')).valid // true
 */
export async function loadRecipe(pathOrName: string): Promise<CheckedRecipe> {
  const path = pathOrName.endsWith('.json') ? pathOrName : join(RECIPE_FOLDER, `${pathOrName}.json`);
  const read = await readWithBase(path, pathOrName, []);
  return 'problem' in read ? { valid: false, problems: [read.problem] } : checkRecipe(read.content);
}

type Read = { readonly content: Record<string, unknown> } | { readonly problem: RecipeProblem };

async function readWithBase(path: string, asked: string, above: readonly string[]): Promise<Read> {
  if (above.includes(path))
    return {
      problem: {
        where: '/base',
        found: shown(asked),
        expected: 'a chain of bases that ends',
        remedy: 'Two recipes name each other as base: take one of the two out.',
      },
    };
  const read = await readJson(path, asked, above.length > 0);
  if ('problem' in read) return read;
  const { base, ...own } = read.content;
  if (base === undefined) return { content: own };
  if (typeof base !== 'string')
    return {
      problem: {
        where: '/base',
        found: shown(base),
        expected: 'the name of a recipe',
        remedy: 'Give a name, such as "base".',
      },
    };
  const place = base.endsWith('.json') ? join(dirname(path), base) : join(RECIPE_FOLDER, `${base}.json`);
  const start = await readWithBase(place, base, [...above, path]);
  return 'problem' in start ? start : { content: mergePatch(start.content, own) as Record<string, unknown> };
}

async function readJson(path: string, asked: string, isBase: boolean): Promise<Read> {
  const where = isBase ? '/base' : asked;
  let bytes: Uint8Array;
  try {
    bytes = await readRegularFile(path);
  } catch {
    return {
      problem: {
        where,
        found: isBase ? shown(asked) : 'no file that can be read',
        expected: `a file ending in .json, or one of ${(await recipeNames()).join(', ')}`,
        remedy: 'Check the name.',
      },
    };
  }
  const read = readTypedJson(bytes);
  if (!read.ok)
    return {
      problem: {
        where,
        found: read.found,
        expected: 'a JSON object',
        remedy: 'Correct the file; a comma or a quote is often missing or too many.',
      },
    };
  const content = read.value;
  if (content !== null && typeof content === 'object' && !Array.isArray(content))
    return { content: content as Record<string, unknown> };
  return {
    problem: { where, found: shown(content), expected: 'a JSON object', remedy: 'Begin the file with {.' },
  };
}
