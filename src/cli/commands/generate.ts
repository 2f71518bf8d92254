import { resolve } from 'node:path';
import { shellWord } from '../../dataset/index.ts';
import {
  type CapturedCohort,
  type Cohort,
  generateCohort,
  loadRecipe,
  type Recipe,
  type RecipeProblem,
  studyOfRecipe,
  writeCapturedCohort,
  writeCohort,
} from '../../synthetic/index.ts';
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
  const captured =
    given.options.captures === true ? await writeWithCaptures(out, loaded.recipe, cohort, progress) : null;
  if (captured === null) progress.step('Writing the roster');
  const unusable = captured === null ? await writeCohort(out, loaded.recipe, cohort) : captured.problems;
  if (unusable.length > 0) return refused(2, unusable.map(inRecipe));
  const text = [
    `Wrote an invented roster to ${out}: ${cohort.tables.golfers.length} golfers, ${cohort.tables.sessions.length} sessions, ${cohort.tables.swings.length} swings.`,
    ...(captured === null
      ? []
      : [
          `${captured.captures} captures (${(captured.bytes / 1e6).toFixed(0)} MB) are in ${out}/captures. To measure them: npm run --silent cli -- measure --captures ${shellWord(`${out}/captures`)} --layout ${shellWord(`${out}/captures/layout-right.json`)} --out MEASURED`,
        ]),
    `What was planted is in truth.json. To ask it: npm run --silent cli -- ask ${studyOfRecipe(loaded.recipe)} --data ${shellWord(out)}`,
  ].join('\n');
  return good(
    {
      folder: resolve(out),
      ...(captured === null ? {} : { captures: captured.captures }),
      truth: cohort.truth,
    },
    text,
  );
}

/** More often would only fill the screen. */
const BETWEEN_WORDS_MS = 2000;

async function writeWithCaptures(
  out: string,
  recipe: Recipe,
  cohort: Cohort,
  progress: Progress,
): Promise<CapturedCohort> {
  let said = 0;
  progress.step('Simulating the captures');
  return writeCapturedCohort(out, recipe, cohort, {
    onProgress(done, total) {
      const now = performance.now();
      if (now - said < BETWEEN_WORDS_MS) return;
      said = now;
      progress.step(`${done} of ${total} captures`);
    },
  });
}

function inRecipe(problem: RecipeProblem): RecipeProblem {
  return { ...problem, where: `recipe ${problem.where}` };
}
