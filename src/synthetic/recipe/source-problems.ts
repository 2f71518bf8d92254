import type { Recipe } from './recipe.ts';
import type { RecipeProblem } from './recipe-problem.ts';

/** Every number must say where it comes from, by a key that stands in `sources`. */
export function sourceProblems(recipe: Recipe): RecipeProblem[] {
  return citedBlocks(recipe).flatMap(({ path, block }) => {
    const cited = block.source as Readonly<Record<string, string>>;
    const unknown = Object.entries(cited)
      .filter(([, key]) => !Object.hasOwn(recipe.sources, key))
      .map(([name, key]) => ({
        where: `${path}/source/${name}`,
        found: JSON.stringify(key),
        expected: `one of ${Object.keys(recipe.sources).join(', ')}`,
        remedy: 'Correct the key, or add the source to /sources.',
      }));
    const ofNothing = Object.keys(cited)
      .filter((name) => name !== '*' && !Object.hasOwn(block, name))
      .map((name) => ({
        where: `${path}/source/${name}`,
        found: 'a source of something that is not there',
        expected: `'*' or one of ${Object.keys(block).join(', ')}`,
        remedy: 'Correct the spelling, or take the key out.',
      }));
    const withoutSource = Object.entries(block)
      .filter(([name, value]) => name !== 'source' && holdsNumber(value))
      .filter(([name]) => !Object.hasOwn(cited, name) && !Object.hasOwn(cited, '*'))
      .map(([name]) => ({
        where: `${path}/${name}`,
        found: 'a number without a source',
        expected: `a key for '${name}' or '*' in ${path}/source`,
        remedy: "Say where the number comes from; if from nowhere, cite a source of kind 'invented'.",
      }));
    return [...unknown, ...ofNothing, ...withoutSource];
  });
}

interface Block {
  readonly path: string;
  readonly block: Readonly<Record<string, unknown>>;
}

function citedBlocks(recipe: Recipe): Block[] {
  const blocks: Block[] = [];
  const visit = (value: unknown, path: string) => {
    if (value === null || typeof value !== 'object') return;
    if ('source' in value && typeof value.source === 'object')
      blocks.push({ path, block: value as Record<string, unknown> });
    for (const [key, inner] of Object.entries(value)) visit(inner, `${path}/${key}`);
  };
  const { sources: _sources, ...rest } = recipe;
  visit(rest, '');
  return blocks;
}

function holdsNumber(value: unknown): boolean {
  if (typeof value === 'number') return true;
  return value !== null && typeof value === 'object' && Object.values(value).some(holdsNumber);
}
