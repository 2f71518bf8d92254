/**
 * Kills an erasure at random moments, and says what the folder is afterwards. Also a script:
 *
 *     npx tsx tests/dataset/privacy/kill-while-erasing.ts 200
 */
import { spawn } from 'node:child_process';
import { cp, mkdtemp, readdir, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { eraseGolfer } from '../../../src/dataset/privacy/index.ts';
import { replaceFolder, settleFolder } from '../../../src/dataset/replace-folder.ts';
import { createStream } from '../../../src/numerics/index.ts';
import { killedAfter } from '../killed-child.ts';
import { bundledWithSchemas } from './bundle.ts';

export interface Kills {
  readonly old: number;
  readonly new: number;
  /** Neither, with the number of the run. */
  readonly between: readonly number[];
  /** Runs that had come to their end before they were killed. */
  readonly ended: number;
  /** What was left beside the folder once it was settled. */
  readonly beside: readonly string[];
}

/** @param source a dataset's folder, which is copied for each run and not touched */
export async function killWhileErasing(source: string, golfer: string, runs: number): Promise<Kills> {
  const child = await bundledWithSchemas(fileURLToPath(new URL('./erase-child.ts', import.meta.url)));
  const root = await mkdtemp(join(tmpdir(), 'kill-erase-'));
  const random = createStream(8);
  try {
    const done = join(root, 'done');
    await cp(source, done, { recursive: true });
    await eraseGolfer(done, golfer);
    const [before, after] = [await contentOf(source), await contentOf(done)];
    const timed = join(root, 'timed');
    await cp(source, timed, { recursive: true });
    const longest = await timeAtWork(child, [timed, golfer]);
    let [isOld, isNew, ended] = [0, 0, 0];
    const between: number[] = [];
    const beside = new Set<string>();
    for (let run = 0; run < runs; run += 1) {
      const place = join(root, `run-${run}`);
      const folder = join(place, 'data');
      await cp(source, folder, { recursive: true });
      if (!(await killedAfter(random.uniform() * longest, child, [folder, golfer]))) ended += 1;
      await settleFolder(folder);
      const content = await contentOf(folder);
      // A folder that was killed in the making lies beside it until the next who writes takes it away.
      await replaceFolder(folder, async () => 'leave');
      if (content === before) isOld += 1;
      else if (content === after) isNew += 1;
      else between.push(run);
      for (const name of await readdir(place)) if (name !== 'data') beside.add(name);
      await rm(place, { recursive: true });
    }
    return { old: isOld, new: isNew, between, ended, beside: [...beside] };
  } finally {
    await rm(root, { recursive: true, force: true });
    await rm(dirname(child), { recursive: true, force: true });
  }
}

/** Milliseconds from the child's first word to its end. */
async function timeAtWork(child: string, args: readonly string[]): Promise<number> {
  const run = spawn(process.execPath, [child, ...args], { stdio: ['ignore', 'pipe', 'inherit'] });
  const ended = new Promise((over) => run.once('exit', over));
  await Promise.race([new Promise((begun) => run.stdout.once('data', begun)), ended]);
  const start = performance.now();
  await ended;
  return performance.now() - start;
}

async function contentOf(folder: string): Promise<string> {
  const names = (await readdir(folder, { recursive: true, withFileTypes: true }))
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name))
    .sort();
  const parts: string[] = [];
  for (const name of names) parts.push(name.slice(folder.length), await readFile(name, 'latin1'));
  return parts.join('\0');
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  const { fullFolder, writeFiles } = await import('./full-folder.ts');
  const source = await mkdtemp(join(tmpdir(), 'full-folder-'));
  await writeFiles(source, fullFolder());
  process.stdout.write(
    `${JSON.stringify(await killWhileErasing(source, 'G1', Number(process.argv[2] ?? 200)))}\n`,
  );
  await rm(source, { recursive: true });
}
