/**
 * Renders reports/: the page and Finding of the demo, the notebooks as run on their own data, and the catalogue of
 * metrics as a page.
 *
 * `npm run reports` replaces what is there; with `--check` nothing is written, and every file that would come out
 * differently is named (exit 1).
 */
import { mkdtemp, readdir, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { run as runDemo } from '../src/cli/commands/demo.ts';
import { createProgress } from '../src/cli/progress.ts';
import { writeNewFolder } from '../src/dataset/index.ts';
import { runNotebook } from '../src/notebook/index.ts';
import { cataloguePage } from '../src/report/index.ts';

const HERE = fileURLToPath(new URL('.', import.meta.url));
const ROOT = fileURLToPath(new URL('..', import.meta.url));
/** Notebooks by name, each with the folder that it reads. */
const NOTEBOOKS = {
  'drill-trial': 'synthetic/demo',
  angle: 'notebooks/data/elbow',
  'capture-to-metrics': 'synthetic/swing',
} as const;
const FOLDERS = [
  'drill-trial',
  ...Object.keys(NOTEBOOKS).map((name) => `${name}-notebook`),
  'metric-catalogue',
];

/** Writes each folder of reports/ under `base`, which must not hold them yet. */
async function render(base: string): Promise<void> {
  const demo = await runDemo(
    { arguments: [], options: { out: join(base, 'drill-trial') } },
    createProgress(),
  );
  if (demo.exit !== 0) throw new Error(`render: the demo was refused: ${demo.messages.join('\n')}`);
  for (const [name, data] of Object.entries(NOTEBOOKS)) {
    const notebook = await runNotebook({
      path: join(ROOT, `notebooks/${name}.ts`),
      dataDir: join(ROOT, data),
      outDir: join(base, `${name}-notebook`),
    });
    if (!notebook.ok) throw new Error(`render: the notebook ${name} failed: ${JSON.stringify(notebook)}`);
  }
  await writeNewFolder(join(base, 'metric-catalogue'), { 'metric-catalogue.html': cataloguePage() });
}

async function filesUnder(base: string): Promise<Map<string, string>> {
  const files = new Map<string, string>();
  for (const folder of FOLDERS)
    for (const name of (await readdir(join(base, folder)).catch(() => [])).sort())
      files.set(`${folder}/${name}`, await readFile(join(base, folder, name), 'latin1'));
  return files;
}

/** Paths under reports/ that a fresh rendering would change, add or take away. */
export async function outOfDate(): Promise<string[]> {
  const fresh = await mkdtemp(join(tmpdir(), 'proving-range-reports-'));
  try {
    await render(fresh);
    const [now, then] = [await filesUnder(fresh), await filesUnder(HERE)];
    return [...new Set([...now.keys(), ...then.keys()])]
      .filter((path) => now.get(path) !== then.get(path))
      .sort();
  } finally {
    await rm(fresh, { recursive: true });
  }
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  if (process.argv.includes('--check')) {
    const stale = await outOfDate();
    for (const path of stale) console.error(`reports/${path} is out of date: npm run reports`);
    if (stale.length > 0) process.exitCode = 1;
  } else {
    for (const folder of FOLDERS) await rm(join(HERE, folder), { recursive: true, force: true });
    await render(HERE);
  }
}
