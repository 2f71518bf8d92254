import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { replaceFolder } from '../dataset/index.ts';
import { type Followed, follow } from './followed.ts';
import { type RunNotebookOptions, type RunNotebookResult, runNotebook } from './run-notebook.ts';
import { servePage } from './serve-page.ts';
import type { WatchNotebookOptions } from './watch-notebook.ts';

/** How often what is followed is looked at; less often where one look takes long, as with many thousand captures. */
const LOOK_EVERY_MS = 150;
const LOOKING_SHARE = 0.05;

/** The work of `watchNotebook`. */
export async function watchAndRun(options: WatchNotebookOptions): Promise<void> {
  const { opened, ran, signal, path, outDir, dataDir = null } = options;
  let followed = await follow(path, dataDir, outDir);
  let seen = await followed.content();
  const first = await runNotebook(options);
  ran(first);
  if (first.problems.length > 0 || signal.aborted) return;
  const page = join(outDir, `${basename(path, '.ts')}.html`);
  const server = await servePage(() => readFile(page));
  opened(server.address);
  try {
    while (await changed(followed, seen, signal)) {
      followed = await follow(path, dataDir, outDir);
      seen = await followed.content();
      ran(await runInto(options));
      server.changed();
    }
  } finally {
    await server.close();
  }
}

/**
 * Waits until something that is followed holds something else than what was seen, and has come to rest; false where the
 * watch ends first. It looks instead of being told: a folder that is put in place of another tells nobody, nor do
 * drives of other machines.
 */
async function changed(followed: Followed, seen: string | null, signal: AbortSignal): Promise<boolean> {
  let looked: string | null = null;
  let judged: string | null = null;
  while (!signal.aborted) {
    const begun = performance.now();
    const stamp = await followed.stamp();
    // Two looks alike: whoever was writing has finished.
    if (stamp === looked && stamp !== judged) {
      judged = stamp;
      const content = await followed.content();
      if (content !== null && content !== seen) return !signal.aborted;
    }
    looked = stamp;
    const pause_ms = Math.max(LOOK_EVERY_MS, (performance.now() - begun) / LOOKING_SHARE);
    await wait(pause_ms, null, { signal }).catch(() => undefined);
  }
  return false;
}

/** Runs beside the folder and puts the new files in place of the old, all or none. */
async function runInto(options: RunNotebookOptions): Promise<RunNotebookResult> {
  const scratch = await mkdtemp(join(tmpdir(), 'proving-range-watch-'));
  try {
    const result = await runNotebook({ ...options, outDir: join(scratch, 'out') });
    if (result.problems.length > 0) return result;
    await replaceFolder(options.outDir, async (made) => {
      for (const file of result.files) await made.put(basename(file), await readFile(file));
      return 'replace';
    });
    return { ...result, files: result.files.map((file) => join(options.outDir, basename(file))) };
  } finally {
    await rm(scratch, { recursive: true, force: true });
  }
}
