/**
 * Renders reports/: the page and Finding of each study on a cohort of known truth, the notebooks as run on their own
 * data, and the catalogue of metrics as a page.
 *
 * `npm run reports` replaces what is there; with `--check` nothing is written, and every file that would come out
 * differently is named (exit 1). `--only NAME` renders the folders whose name begins so.
 */
import { mkdtemp, readdir, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { run as runAsk } from '../src/cli/commands/ask.ts';
import { run as runDemo } from '../src/cli/commands/demo.ts';
import { run as runGenerate } from '../src/cli/commands/generate.ts';
import { run as runPlan } from '../src/cli/commands/plan.ts';
import { createProgress } from '../src/cli/progress.ts';
import type { CommandResult } from '../src/cli/result.ts';
import { writeNewFolder } from '../src/dataset/index.ts';
import { runNotebook } from '../src/notebook/index.ts';
import { cataloguePage, writeReport } from '../src/report/index.ts';
import type { Finding } from '../src/studies/index.ts';

const HERE = fileURLToPath(new URL('.', import.meta.url));
const ROOT = fileURLToPath(new URL('..', import.meta.url));
/** Not chosen: the first seed there is, whatever it gives. */
const SEED = '1';

/** Studies by name, each with the recipe its cohort is drawn from and what is asked beyond the study. */
export const STUDIES: Readonly<
  Record<string, { readonly recipe: string; readonly options?: Record<string, string> }>
> = {
  noise: { recipe: 'noise-two-devices' },
  'one-golfer': { recipe: 'single-golfer-abab' },
  mechanism: { recipe: 'mechanism-paths' },
  instructors: { recipe: 'instructors-some' },
  waveform: { recipe: 'waveform-window' },
};
/** Notebooks that read a folder of the project, or none; those of the studies read their cohort. */
export const NOTEBOOKS: Readonly<Record<string, string | null>> = {
  'drill-trial': 'synthetic/demo',
  angle: 'notebooks/data/elbow',
  'capture-to-metrics': 'synthetic/swing',
  plan: 'synthetic/demo',
  'mechanism-physics': null,
  calibration: 'reports/calibration',
};

/** Drawn once in hours by `calibrate`, and only laid out here; read before anything is taken away. */
const CALIBRATION = JSON.parse(await readFile(join(HERE, 'calibration/finding.json'), 'utf8')) as Finding;

type Job = (out: string, cohorts: string) => Promise<void>;

/** What makes each folder of reports/, by its name. */
const FOLDERS: Readonly<Record<string, Job>> = {
  // First, since its notebook reads it.
  calibration: async (out) => {
    await writeReport(out, CALIBRATION);
  },
  'drill-trial': async (out) => done(await runDemo({ arguments: [], options: { out } }, createProgress())),
  ...Object.fromEntries(
    Object.entries(STUDIES).map(([study, { recipe, options }]): [string, Job] => [
      study,
      async (out, cohorts) => {
        const data = await cohort(recipe, cohorts);
        const given = { arguments: [study], options: { data, out, ...options } };
        done(await runAsk(given, createProgress()));
      },
    ]),
  ),
  plan: async (out) => {
    const options = { recipe: 'drill-parallel-effect', metric: 'shaft_lean_impact_deg', change: '1', out };
    done(await runPlan({ arguments: [], options }, createProgress()));
  },
  ...Object.fromEntries(
    Object.entries(NOTEBOOKS).map(([name, data]): [string, Job] => [
      `${name}-notebook`,
      (out) => notebook(name, data === null ? null : join(ROOT, data), out),
    ]),
  ),
  ...Object.fromEntries(
    Object.entries(STUDIES).map(([study, { recipe }]): [string, Job] => [
      `${study}-notebook`,
      async (out, cohorts) => notebook(study, await cohort(recipe, cohorts), out),
    ]),
  ),
  'metric-catalogue': async (out) => {
    await writeNewFolder(out, { 'metric-catalogue.html': cataloguePage() });
  },
};

function done(result: CommandResult): void {
  if (result.exit !== 0) throw new Error(`render: refused: ${result.messages.join('\n')}`);
}

/** The folder of a recipe's cohort, drawn once. */
export async function cohort(recipe: string, cohorts: string): Promise<string> {
  const out = join(cohorts, recipe);
  if (!(await readdir(cohorts)).includes(recipe))
    done(await runGenerate({ arguments: [], options: { recipe, seed: SEED, out } }, createProgress()));
  return out;
}

async function notebook(name: string, dataDir: string | null, outDir: string): Promise<void> {
  const outcome = await runNotebook({
    path: join(ROOT, `notebooks/${name}.ts`),
    outDir,
    ...(dataDir === null ? {} : { dataDir }),
  });
  if (!outcome.ok) throw new Error(`render: the notebook ${name} failed: ${JSON.stringify(outcome)}`);
}

/** Writes the named folders under `base`, which must not hold them yet. */
async function render(base: string, names: readonly string[]): Promise<void> {
  const cohorts = await mkdtemp(join(tmpdir(), 'proving-range-cohorts-'));
  try {
    for (const name of names) await FOLDERS[name]!(join(base, name), cohorts);
  } finally {
    await rm(cohorts, { recursive: true });
  }
}

async function filesUnder(base: string, names: readonly string[]): Promise<Map<string, string>> {
  const files = new Map<string, string>();
  for (const folder of names)
    for (const name of (await readdir(join(base, folder)).catch(() => [])).sort())
      files.set(`${folder}/${name}`, await readFile(join(base, folder, name), 'latin1'));
  return files;
}

/** The folders whose name begins so; all of them where nothing is given. */
export function reportFolders(begins = ''): string[] {
  return Object.keys(FOLDERS).filter((name) => name.startsWith(begins));
}

/** Paths under reports/ that a fresh rendering would change, add or take away. */
export async function outOfDate(names: readonly string[] = reportFolders()): Promise<string[]> {
  const fresh = await mkdtemp(join(tmpdir(), 'proving-range-reports-'));
  try {
    await render(fresh, names);
    const [now, then] = [await filesUnder(fresh, names), await filesUnder(HERE, names)];
    return [...new Set([...now.keys(), ...then.keys()])]
      .filter((path) => now.get(path) !== then.get(path))
      .sort();
  } finally {
    await rm(fresh, { recursive: true });
  }
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  const only = process.argv.indexOf('--only');
  const names = reportFolders(only < 0 ? '' : process.argv[only + 1]);
  if (process.argv.includes('--check')) {
    const stale = await outOfDate(names);
    for (const path of stale) console.error(`reports/${path} is out of date: npm run reports`);
    if (stale.length > 0) process.exitCode = 1;
  } else {
    for (const folder of names) await rm(join(HERE, folder), { recursive: true, force: true });
    await render(HERE, names);
  }
}
