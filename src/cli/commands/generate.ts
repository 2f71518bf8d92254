import { resolve } from 'node:path';
import { generateCohort, loadRecipe, type RecipeProblem, writeCohort } from '../../synthetic/index.ts';
import type { Given } from '../command.ts';
import { takenFolder } from '../files.ts';
import { textOption } from '../folder.ts';
import type { Progress } from '../progress.ts';
import { type CommandResult, good, refused } from '../result.ts';

export async function run(given: Given, progress: Progress): Promise<CommandResult> {
  const out = textOption(given, 'out') ?? '';
  const seedText = textOption(given, 'seed') ?? '';
  const taken = await takenFolder('--out', out);
  const seed = /^\d{1,10}$/.test(seedText) ? Number(seedText) : null;
  const seedFaults =
    seed !== null && seed < 2 ** 32
      ? []
      : [
          {
            where: '--seed',
            found: `"${seedText}"`,
            expected: 'a whole number from 0 to 4294967295',
            remedy: 'give any such number; write it down to make the same roster again',
          },
        ];
  if (seed === null || taken.length + seedFaults.length > 0) return refused(2, [...taken, ...seedFaults]);
  const loaded = await loadRecipe(textOption(given, 'recipe') ?? '');
  if (!loaded.valid) return refused(2, loaded.problems.map(inRecipe));
  progress.step('Drawing the roster');
  const cohort = generateCohort(loaded.recipe, seed);
  progress.step('Writing the roster');
  const unusable = await writeCohort(out, loaded.recipe, cohort);
  if (unusable.length > 0) return refused(2, unusable.map(inRecipe));
  const text = [
    `Wrote an invented roster to ${out}: ${cohort.tables.golfers.length} golfers, ${cohort.tables.sessions.length} sessions, ${cohort.tables.swings.length} swings.`,
    `What was planted is in truth.json. To ask it: npm run --silent cli -- ask drill-trial --data ${out}`,
  ].join('\n');
  return good({ folder: resolve(out), truth: cohort.truth }, text);
}

function inRecipe(problem: RecipeProblem): RecipeProblem {
  return { ...problem, where: `recipe ${problem.where}` };
}
