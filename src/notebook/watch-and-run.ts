import { watch } from 'node:fs';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { basename, dirname, join, resolve } from 'node:path';
import { replaceFolder, sha256Hex } from '../dataset/index.ts';
import { type RunNotebookOptions, type RunNotebookResult, runNotebook } from './run-notebook.ts';
import { servePage } from './serve-page.ts';
import type { WatchNotebookOptions } from './watch-notebook.ts';

/** An editor writes a file in several steps; what follows within this time belongs to one change. */
const SETTLE_MS = 150;

/** The work of `watchNotebook`. */
export async function watchAndRun(options: WatchNotebookOptions): Promise<void> {
  const { opened, ran, signal, path, outDir } = options;
  const first = await runNotebook(options);
  ran(first);
  if (first.problems.length > 0 || signal.aborted) return;
  const page = join(outDir, `${basename(path, '.ts')}.html`);
  const server = await servePage(() => readFile(page));
  let seen = await hashOf(path);
  opened(server.address);
  try {
    for await (const _ of changesOf(path, signal)) {
      const now = await hashOf(path);
      if (now === null || now === seen) continue;
      seen = now;
      ran(await runInto(options));
      server.changed();
    }
  } finally {
    await server.close();
  }
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

/** One step for each time the file has changed and come to rest; the folder is watched, since editors rename. */
async function* changesOf(path: string, signal: AbortSignal): AsyncGenerator<void> {
  const name = basename(path);
  let wake: () => void = () => undefined;
  let changed = false;
  const watcher = watch(dirname(resolve(path)), (_, file) => {
    if (file !== null && file !== name) return;
    changed = true;
    wake();
  });
  const stop = (): void => wake();
  signal.addEventListener('abort', stop);
  try {
    while (!signal.aborted) {
      if (!changed) await new Promise<void>((resolve) => (wake = resolve));
      if (signal.aborted) return;
      await new Promise((resolve) => setTimeout(resolve, SETTLE_MS));
      changed = false;
      yield;
    }
  } finally {
    signal.removeEventListener('abort', stop);
    watcher.close();
  }
}

/** Null while an editor has the file away. */
async function hashOf(path: string): Promise<string | null> {
  return readFile(path).then(sha256Hex, () => null);
}
