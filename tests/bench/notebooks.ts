/**
 * What running a notebook costs beyond the time of its own cells: npm, the start of two processes, loading, drawing, writing.
 * Cold is the first run of a checkout, when nothing that a run keeps is there; warm is the best of the three after it.
 * `npm run bench -- notebooks noise` measures those whose name begins so. Run it where nobody else runs notebooks of this
 * checkout: what a run keeps is taken away before each cold one.
 */
import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { cohort, NOTEBOOKS, STUDIES } from '../../reports/render.ts';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const KEPT = join(ROOT, 'node_modules', '.cache', 'proving-range');
const scratch = mkdtempSync(join(tmpdir(), 'proving-range-bench-'));
/** The loader of TypeScript keeps what it made in the folder for temporary files: a folder of its own can be emptied. */
const temporary = join(scratch, 'temporary');

interface Seconds {
  readonly total: number;
  readonly cells: number;
}

/** The notebook with a cell before its first and one after its last: what passes between the two is its own. */
function timedCopy(name: string): string {
  const path = join(scratch, `${name}.ts`);
  const text = readFileSync(join(ROOT, 'notebooks', `${name}.ts`), 'utf8');
  const last = "// %%\nconsole.log('cells took ' + (performance.now() - benchStart) + ' ms');\n";
  writeFileSync(path, `// %%\nconst benchStart = performance.now();\n\n${text}\n${last}`);
  return path;
}

function run(name: string, path: string, data: string | null): Seconds {
  const out = join(scratch, 'out');
  const command = ['run', '--silent', 'cli', '--', 'run', path, '--out', out];
  const start = performance.now();
  const { status, stderr } = spawnSync('npm', [...command, ...(data === null ? [] : ['--data', data])], {
    cwd: ROOT,
    env: { ...process.env, TMPDIR: temporary },
    encoding: 'utf8',
  });
  const total = (performance.now() - start) / 1000;
  if (status !== 0) throw new Error(`bench: ${name} failed: ${stderr}`);
  const took = /cells took ([\d.]+) ms/.exec(readFileSync(join(out, `${name}.ipynb`), 'utf8'));
  rmSync(out, { recursive: true });
  return { total, cells: Number(took?.[1]) / 1000 };
}

function empty(folder: string): void {
  rmSync(folder, { recursive: true, force: true });
  mkdirSync(folder, { recursive: true });
}

const names = [...Object.keys(NOTEBOOKS), ...Object.keys(STUDIES)].sort();
const asked = process.argv[2] ?? '';
const words = ({ total, cells }: Seconds): string =>
  `${total.toFixed(2)} s, cells ${cells.toFixed(2)} s, overhead ${(total - cells).toFixed(2)} s`;
const overhead = ({ total, cells }: Seconds): number => total - cells;
try {
  mkdirSync(join(scratch, 'cohorts'));
  for (const name of names.filter((one) => one.startsWith(asked))) {
    const given = NOTEBOOKS[name];
    const recipe = STUDIES[name]?.recipe;
    const data =
      given != null
        ? join(ROOT, given)
        : given === undefined && recipe !== undefined
          ? await cohort(recipe, join(scratch, 'cohorts'))
          : null;
    const path = timedCopy(name);
    empty(temporary);
    empty(KEPT);
    const cold = run(name, path, data);
    const warm = Array.from({ length: 3 }, () => run(name, path, data));
    const best = warm.reduce((least, one) => (overhead(one) < overhead(least) ? one : least));
    console.log(`${name}: cold ${words(cold)}; warm ${words(best)}`);
  }
} finally {
  rmSync(scratch, { recursive: true });
}
