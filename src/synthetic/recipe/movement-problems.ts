import { createStream } from '../../numerics/index.ts';
import { drawGolfer } from '../bodies/index.ts';
import { distributionsOf } from '../model/mechanics.ts';
import type { Recipe } from './recipe.ts';
import type { RecipeProblem } from './recipe-problem.ts';

/** What the mechanics cannot go with, and golfers that no draw can make. */
export function movementProblems(recipe: Recipe): RecipeProblem[] {
  const { movement } = recipe;
  if (movement === undefined) return [];
  if (movement.model === 'paths')
    return (['golfers', 'drill', 'practice'] as const).flatMap((key) =>
      movement[key] === undefined
        ? []
        : [
            {
              where: `/movement/${key}`,
              found: `${key} of simulated bodies beside the model paths`,
              expected: 'only the model mechanics has them',
              remedy: 'Set /movement/model to "mechanics", or take this out.',
            },
          ],
    );
  const problems = [...withoutMechanics(recipe), ...pathEffects(recipe)];
  return problems.length > 0 ? problems : impossibleBodies(recipe);
}

/** Blocks that rest on the paths being linear. */
function withoutMechanics(recipe: Recipe): RecipeProblem[] {
  const blocks = ['mechanism', 'curves', 'devices', 'teaching'] as const;
  const problems: RecipeProblem[] = blocks
    .filter((block) => recipe[block] !== undefined)
    .map((block) => ({
      where: `/${block}`,
      found: `${block} beside /movement with the model mechanics`,
      expected: 'the model paths: what this block states as true is worked out from the paths',
      remedy: 'Take one of the two out.',
    }));
  if (recipe.design.kind === 'series')
    problems.push({
      where: '/design/kind',
      found: 'series',
      expected: 'another kind of design: the day’s form of simulated bodies has no autocorrelation',
      remedy: 'Choose another kind, or the model paths.',
    });
  return problems;
}

function pathEffects({ learning }: Recipe): RecipeProblem[] {
  return (['drill', 'practice'] as const).flatMap((key) =>
    Object.keys(learning[key]).map((metric) => ({
      where: `/learning/${key}/${metric}`,
      found: 'an effect on a metric',
      expected: `none: with the model mechanics what is learnt stands in /movement/${key}`,
      remedy: 'Take it out (null removes a key of the base).',
    })),
  );
}

const SKILLS = [0, 0.5, 1];

function impossibleBodies(recipe: Recipe): RecipeProblem[] {
  const from = distributionsOf(recipe)!;
  for (const skill of SKILLS)
    try {
      drawGolfer(from, skill, createStream(0, 'possible', skill));
    } catch (error) {
      return [
        {
          where: '/movement/golfers',
          found: `golfers of skill ${skill} (0 less skilled, 1 skilled) none of whom can swing: ${reasons(error)}`,
          expected: 'distributions out of which most draws make a golfer whose club reaches the ball',
          remedy: 'Bring the means nearer to those of src/synthetic/bodies/distributions.ts.',
        },
      ];
    }
  return [];
}

function reasons(error: unknown): string {
  return /\((.*)\)/.exec((error as Error).message)?.[1] ?? (error as Error).message;
}
