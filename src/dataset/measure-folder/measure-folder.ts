import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { sha256Hex } from '../hash.ts';
import { codeOf } from '../new-files.ts';
import type { Ending } from './ending.ts';
import type { FolderProblem } from './folder-problem.ts';
import { readLayouts } from './layouts.ts';
import { LOG_FILE, openLog, type ReadLog, readLog } from './measure-log.ts';
import { measureTasks } from './measure-tasks.ts';
import { foreignFiles, putFiles } from './own-files.ts';
import { ownPaths, resultFiles } from './result-files.ts';
import { findTasks } from './tasks.ts';

/** A folder of captures to be measured into a dataset. */
export interface MeasureFolderRequest {
  /** Folder of captures (.c3d and .csv, in folders of its own too), with or without a manifest.csv. */
  readonly captures: string;
  /** The layout file of every capture for which the manifest names no other. */
  readonly layout: string;
  /** A new folder for the dataset, or one that an earlier run began. */
  readonly out: string;
  /** Threads that measure; as many as the machine runs at once, and at most four, unless said. */
  readonly workers?: number;
  /** Called after each capture with how many are done of how many. */
  readonly onProgress?: (done: number, total: number) => void;
}

/** `measured`, `skipped` and the length of `failed` add up to the captures found. */
export interface MeasuredFolder {
  /** Measured in this run. */
  readonly measured: number;
  readonly failed: readonly FailedCapture[];
  /** Measured in an earlier run, and copies of another file. */
  readonly skipped: number;
  readonly copies: readonly { readonly file: string; readonly sameAs: string }[];
  /** Whether a manifest said which swing each capture is. */
  readonly manifest: boolean;
  /** Paths, in the new folder, of the files that this run wrote. */
  readonly written: readonly string[];
}

/** A capture that gave no numbers: its first fault, and how many more it has (all are in measure-report.csv). */
export interface FailedCapture extends FolderProblem {
  readonly file: string;
  readonly further: number;
}

/** What was measured, or every reason why nothing could be. */
export type MeasureFolderResult =
  | { readonly ok: true; readonly value: MeasuredFolder }
  | { readonly ok: false; readonly problems: readonly FolderProblem[] };

/**
 * Measures a folder of captures into the swings and captures tables of a new dataset. What is done stands in a log in
 * the new folder, by the hash of file, layout and version of the package, so that a run that was stopped goes on where it
 * was when it is run again. A capture that cannot be read or measured never stops the others. The captures
 * themselves are only read; a file in the new folder is replaced only as long as it is as this function left it.
 * The number of workers changes nothing but the time.
 *
 * Golfers, instructors, sessions, assignments and practice are not in captures: where their tables lie beside the
 * captures, they are copied, and the new folder is a whole dataset.
 *
 * @returns problems, and nothing measured, when folder, layout, manifest or the new folder cannot be used
 * @example
 * const captures = 'synthetic/swing/simulated';
 * const outcome = await measureFolder({ captures, layout: 'layout.json', out: 'measured' });
 * outcome.ok && outcome.value.measured // 1
 */
export async function measureFolder(request: MeasureFolderRequest): Promise<MeasureFolderResult> {
  const { captures, out } = request;
  const found = await findTasks(captures, request.layout, out);
  if (!found.ok) return found;
  const { tasks, columns, manifest } = found;
  const usable = tasks.filter(({ problem }) => problem === null);
  const read = await readLayouts([request.layout, ...usable.map(({ layout }) => layout)]);
  const begun = await begunLog(out);
  const inTheWay =
    'problem' in begun ? [begun.problem] : await foreignFiles(out, ownPaths(), begun.log.written);
  const problems = [...read.problems, ...inTheWay];
  if (problems.length > 0 || 'problem' in begun) return { ok: false, problems };

  const log = await openLog(join(out, LOG_FILE));
  try {
    const endings = await measureTasks(request, tasks, read.layouts, begun.log, log);
    const files = await resultFiles(captures, endings, columns, manifest);
    const foreign = await foreignFiles(out, files.keys(), begun.log.written);
    if (foreign.length > 0) return { ok: false, problems: foreign };
    const hashes = [...files].map(([path, content]): [string, string] => [path, sha256Hex(content)]);
    if (hashes.some(([path, hash]) => !begun.log.written.get(path)?.has(hash)))
      await log.aboutToWrite(Object.fromEntries(hashes));
    const written = await putFiles(out, files);
    return { ok: true, value: { ...summary(endings), manifest, written } };
  } finally {
    await log.close();
  }
}

type Begun = { readonly log: ReadLog } | { readonly problem: FolderProblem };

/** What an earlier run left in the folder: its log, or nothing. A folder of something else is refused. */
async function begunLog(out: string): Promise<Begun> {
  const none: ReadLog = { outcomes: new Map(), written: new Map() };
  const taken = (found: string): Begun => ({
    problem: {
      where: out,
      found,
      expected: 'a folder that does not exist yet, is empty, or was begun by this command',
      remedy: 'give another name, or move the old one away first; nothing was written',
    },
  });
  let names: string[];
  try {
    names = await readdir(out);
  } catch (error) {
    if (codeOf(error) === 'ENOENT') return { log: none };
    if (codeOf(error) === 'ENOTDIR') return taken('a file of that name');
    throw error;
  }
  if (names.length === 0) return { log: none };
  const log = await readLog(join(out, LOG_FILE));
  return log === null ? taken('a folder that exists and is not empty') : { log };
}

function summary(endings: readonly Ending[]): Omit<MeasuredFolder, 'manifest' | 'written'> {
  const failed: FailedCapture[] = [];
  const copies: { file: string; sameAs: string }[] = [];
  let measured = 0;
  let earlier = 0;
  for (const { task, result } of endings) {
    if (result.status === 'copy') copies.push({ file: task.file, sameAs: result.of });
    else if (result.status === 'failed') {
      const [first, ...others] = result.problems;
      failed.push({ file: task.file, ...first!, further: others.length });
    } else if (result.now) measured += 1;
    else earlier += 1;
  }
  return { measured, failed, skipped: earlier + copies.length, copies };
}
