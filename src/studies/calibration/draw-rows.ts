import { startWorker } from '../../numerics/index.ts';
import type { CalibrationTask } from './calibration-worker.ts';
import { knownTruths } from './cases/index.ts';
import type { CalibratedStudy, CalibrationRow } from './row.ts';

export interface DrawRows {
  readonly studies: readonly CalibratedStudy[];
  readonly cohorts: number;
  readonly seed: number;
  /** Threads; the rows are the same for any number of them, since each kind of cohort has a stream of its own. */
  readonly workers: number;
}

/** Draws every kind of cohort of these studies and counts; a thread takes the next kind when it is done with one. */
export async function drawRows(
  { studies, cohorts, seed, workers }: DrawRows,
  progress: (step: string) => void = () => undefined,
): Promise<CalibrationRow[]> {
  const asked = [...knownTruths.keys()].filter((at) => studies.includes(knownTruths[at]!.study));
  const done = new Map<number, readonly CalibrationRow[]>();
  const waiting = [...asked];
  const next = (): number | undefined => {
    const at = waiting.shift();
    if (at !== undefined)
      progress(
        `${knownTruths[at]!.study}: ${knownTruths[at]!.name} (${asked.length - waiting.length} of ${asked.length})`,
      );
    return at;
  };
  const threads = Math.max(1, Math.min(Math.floor(workers), asked.length));
  if (threads === 1)
    for (let at = next(); at !== undefined; at = next()) done.set(at, knownTruths[at]!.rows(cohorts, seed));
  else await Promise.all(Array.from({ length: threads }, () => drawInThread({ cohorts, seed }, next, done)));
  return asked.flatMap((at) => done.get(at)!);
}

function drawInThread(
  task: CalibrationTask,
  next: () => number | undefined,
  done: Map<number, readonly CalibrationRow[]>,
): Promise<void> {
  return new Promise((settle, refuse) => {
    const worker = startWorker(import.meta.url, 'calibration-worker', task);
    let at = next();
    const ask = () => (at === undefined ? worker.terminate() : worker.postMessage(at));
    worker.on('message', (rows: readonly CalibrationRow[]) => {
      done.set(at!, rows);
      at = next();
      ask();
    });
    worker.once('error', refuse);
    worker.once('exit', () =>
      at === undefined ? settle() : refuse(new Error('drawRows: a thread ended before it was done')),
    );
    ask();
  });
}
