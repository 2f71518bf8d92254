import { availableParallelism } from 'node:os';
import { resolve } from 'node:path';
import type { Ending } from './ending.ts';
import { MANIFEST } from './find-captures.ts';
import type { CaptureTask, FolderProblem } from './folder-problem.ts';
import type { UsedLayout } from './layouts.ts';
import type { MeasureFolderRequest } from './measure-folder.ts';
import type { OpenLog, ReadLog } from './measure-log.ts';
import { MEASURED_BY, ourFault } from './measure-one.ts';
import { type JobResult, runJobs } from './pool.ts';

/** Measures what the log does not have yet, adds it to the log, and says how it ended for every capture, in order. */
export async function measureTasks(
  { captures, workers, onProgress }: Pick<MeasureFolderRequest, 'captures' | 'workers' | 'onProgress'>,
  tasks: readonly CaptureTask[],
  layouts: ReadonlyMap<string, UsedLayout>,
  earlier: ReadLog,
  log: OpenLog,
): Promise<Ending[]> {
  const places = [...layouts.keys()];
  const layoutOf = (task: CaptureTask): UsedLayout => layouts.get(task.layout)!;
  const results = new Array<Ending['result'] | undefined>(tasks.length);
  const hashes = new Array<string | null>(tasks.length).fill(null);
  const keys = new Array<string | null>(tasks.length).fill(null);
  const jobs = tasks.flatMap(({ file, layout, problem }, index) =>
    problem === null ? [{ index, path: resolve(captures, file), file, layout: places.indexOf(layout) }] : [],
  );
  let done = tasks.length - jobs.length;
  const onResult = async (result: JobResult): Promise<void> => {
    const task = tasks[result.index]!;
    if ('unread' in result) results[result.index] = { status: 'failed', problems: [unread(result.unread)] };
    else if ('stopped' in result)
      results[result.index] = { status: 'failed', problems: [ourFault(result.stopped)] };
    else {
      const { index, key, sha256, outcome } = result;
      hashes[index] = sha256;
      keys[index] = key;
      if (outcome === null) {
        const known = earlier.outcomes.get(key)!;
        results[index] = known.status === 'measured' ? { ...known, now: false } : known;
      } else {
        results[index] = outcome.status === 'measured' ? { ...outcome, now: true } : outcome;
        const layoutSha256 = layoutOf(task).sha256;
        await log.add({ key, file: task.file, sha256, layoutSha256, measuredBy: MEASURED_BY, outcome });
      }
    }
    done += 1;
    onProgress?.(done, tasks.length);
  };
  const start = {
    layouts: places.map((path) => ({ value: layouts.get(path)!.value, sha256: layouts.get(path)!.sha256 })),
    known: [...earlier.outcomes.keys()],
  };
  await runJobs(jobs, workers ?? Math.min(4, availableParallelism()), start, onResult);
  const firstWith = new Map<string, string>();
  return tasks.map((task, index): Ending => {
    if (task.problem !== null)
      return { task, sha256: null, layout: null, result: { status: 'failed', problems: [task.problem] } };
    const key = keys[index] ?? null;
    let result = results[index]!;
    const first = key === null ? undefined : firstWith.get(key);
    if (result.status === 'measured' && first !== undefined) result = { status: 'copy', of: first };
    else if (key !== null) firstWith.set(key, task.file);
    return { task, sha256: hashes[index] ?? null, layout: layoutOf(task), result };
  });
}

function unread(code: string): FolderProblem {
  const known: Readonly<Record<string, string>> = {
    ENOENT: 'no such file',
    EACCES: 'a file that you may not read',
    EISDIR: 'a folder',
    ERR_FS_FILE_TOO_LARGE: 'a file of more than 2 GiB',
  };
  return {
    where: 'the file',
    found: known[code] ?? `a file that cannot be read (${code})`,
    expected: 'a capture of a swing that can be read',
    remedy: `check the file, and its path where ${MANIFEST} names it`,
  };
}
