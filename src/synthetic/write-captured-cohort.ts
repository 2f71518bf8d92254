import { mkdir } from 'node:fs/promises';
import { join } from 'node:path';
import { csvLine, fillNewFolder, type RowsInput } from '../dataset/index.ts';
import { CAPTURE_SETTINGS, type CapturedSwing, layoutName, writeCaptures } from './captures/index.ts';
import { capturesReadme } from './captures-readme.ts';
import type { Cohort } from './generate-cohort.ts';
import type { Recipe } from './recipe/recipe.ts';
import type { RecipeProblem } from './recipe/recipe-problem.ts';
import { cohortFiles, unusableValues } from './write-cohort.ts';

/** How many captures were written, or why the recipe gives none. */
export interface CapturedCohort {
  readonly problems: readonly RecipeProblem[];
  readonly captures: number;
  readonly bytes: number;
}

/** The folder of captures within the dataset. */
const FOLDER = 'captures';
/** Tables that are laid beside the captures, so that measuring them makes a whole dataset. */
const BESIDE = ['golfers', 'instructors', 'sessions', 'assignments', 'practice'] as const;

/**
 * The same as writeCohort, with captures/: a C3D file and its truth for every full swing, layouts, a manifest that says which swing each
 * one is, the tables of golfers and sessions, and a README; and the table captures with the hash of each file. Whole or not at all.
 * The same recipe and seed give the same bytes on any number of workers.
 *
 * @returns problems where the swings of the recipe do not come from the mechanics, or one of them cannot be captured, with nothing written
 * @throws AlreadyThereError when the folder holds something
 * @example
 * const read = await loadRecipe('mechanics-roster');
 * // Two golfers, two visits, one full swing at each
 * const { roster, session, design } = read.recipe;
 * const small = { ...read.recipe, roster: { ...roster, golfers: 2 }, session: { ...session, fullSwings: 1, drillSwings: 1 }, design: { ...design, visits: design.visits.slice(0, 2) } };
 * (await writeCapturedCohort('out', small, generateCohort(small, 7), { workers: 1 })).captures // 4
 */
export async function writeCapturedCohort(
  folder: string,
  recipe: Recipe,
  cohort: Cohort,
  options: { readonly workers?: number; readonly onProgress?: (done: number, total: number) => void } = {},
): Promise<CapturedCohort> {
  const nothing = { captures: 0, bytes: 0 };
  if (cohort.movements.length === 0) return { ...nothing, problems: [notMechanical(recipe)] };
  const problems = unusableValues(cohort);
  if (problems.length > 0) return { ...nothing, problems };
  let outcome: CapturedCohort = { ...nothing, problems: [] };
  try {
    await fillNewFolder(folder, async (put, partial) => {
      await mkdir(join(partial, FOLDER));
      const settings = { ...CAPTURE_SETTINGS, rateHz: recipe.session.rateHz };
      const results = await writeCaptures(join(partial, FOLDER), cohort.movements, {
        settings,
        seed: cohort.truth.seed,
        ...options,
      });
      const faults = results.flatMap((result) => ('fault' in result ? [uncapturable(result)] : []));
      if (faults.length > 0) throw new Uncapturable(faults);
      const files = filesOf(recipe, cohort, results);
      files[`${FOLDER}/README.md`] = capturesReadme(recipe, cohort.truth.seed, settings, results.length);
      for (const [path, content] of Object.entries(files)) await put(path, content);
      const bytes = results.reduce((sum, result) => sum + ('bytes' in result ? result.bytes : 0), 0);
      outcome = { problems: [], captures: results.length, bytes };
    });
  } catch (error) {
    if (!(error instanceof Uncapturable)) throw error;
    return { ...nothing, problems: error.problems };
  }
  return outcome;
}

class Uncapturable extends Error {
  readonly problems: readonly RecipeProblem[];
  constructor(problems: readonly RecipeProblem[]) {
    super('some swings cannot be captured');
    this.problems = problems;
  }
}

function filesOf(recipe: Recipe, cohort: Cohort, results: readonly CapturedSwing[]): Record<string, string> {
  const plays = new Map(cohort.movements.map((swing) => [swing.swing_id, swing.plays]));
  const captures: NonNullable<RowsInput['captures']> = results.flatMap((result) =>
    'fault' in result
      ? []
      : [
          {
            swing_id: result.swing_id,
            file: `${FOLDER}/${result.swing_id}.c3d`,
            sha256: result.sha256,
            layout: `${FOLDER}/${layoutName(plays.get(result.swing_id)!)}`,
          },
        ],
  );
  const files = cohortFiles(recipe, cohort, { ...cohort.tables, captures });
  for (const name of BESIDE) {
    const text = files[`${name}.csv`];
    if (text !== undefined) files[`${FOLDER}/${name}.csv`] = text;
  }
  files[`${FOLDER}/manifest.csv`] = manifest(cohort, plays);
  return files;
}

function manifest({ tables }: Cohort, plays: ReadonlyMap<string, 'right' | 'left'>): string {
  const header = [
    'file',
    'swing_id',
    'session_id',
    'order_in_session',
    'task',
    'club',
    'speed_intent_pct',
    'layout',
  ];
  const rows = tables.swings.flatMap((swing) => {
    const side = plays.get(swing.swing_id);
    if (side === undefined) return [];
    const { swing_id, session_id, order_in_session, task, club, speed_intent_pct } = swing;
    const cells = [
      `${swing_id}.c3d`,
      swing_id,
      session_id,
      order_in_session,
      task,
      club,
      speed_intent_pct,
      layoutName(side),
    ];
    return [cells.map((cell) => (cell === null || cell === undefined ? '' : String(cell)))];
  });
  return [header, ...rows].map(csvLine).join('');
}

function notMechanical(recipe: Recipe): RecipeProblem {
  return {
    where: '/movement/model',
    found: `"${recipe.movement?.model ?? 'paths'}", whose swings are numbers and no movements`,
    expected: '"mechanics" for captures: only a simulated body can be seen by a capture system',
    remedy:
      'Take a recipe whose movement.model is "mechanics", such as mechanics-roster, or leave --captures out.',
  };
}

function uncapturable({ swing_id, fault }: { swing_id: string; fault: string }): RecipeProblem {
  return {
    where: `/movement (swing ${swing_id})`,
    found: `a swing that cannot be drawn from address to its end: ${fault}`,
    expected: 'bodies and timings that make whole swings',
    remedy: 'Take another seed, or narrow the spread in movement.golfers.',
  };
}
