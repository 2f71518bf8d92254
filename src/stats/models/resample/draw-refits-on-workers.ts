import { startWorker } from '../../../numerics/index.ts';
import type { DataColumns, Model } from '../contract.ts';
import { type Draws, type DrawTask, drawRefits, gatherDraws } from './draw-refits.ts';
import type { PreparedModel } from './prepared-model.ts';

export interface DrawShare {
  readonly model: Model;
  readonly data: DataColumns;
  readonly task: DrawTask;
  readonly from: number;
  readonly to: number;
}

/**
 * `drawRefits` shared among worker threads: the same numbers to the last bit for any number of them, because draw k
 * depends on the seed and k alone. One worker is this thread. Each thread prepares the model for itself, so a few
 * hundred draws of a small model are done sooner in one. Rejects where `drawRefits` throws.
 *
 * @example
 * const outcome = prepareModel({ outcome: 'y', fixed: ['intercept'] }, { y: [1, 2, 6] });
 * const draws = await drawRefitsOnWorkers(outcome.prepared, { of: 'outcomes', draws: 1000, seed: 7 }, 1);
 * draws.values.length // 2000: a mean and an SD for each draw
 */
export async function drawRefitsOnWorkers(
  prepared: PreparedModel,
  task: DrawTask,
  workers: number,
): Promise<Draws> {
  const count = Math.max(1, Math.min(Math.floor(workers), task.draws));
  if (count === 1) return drawRefits(prepared, task);
  const { model, data } = prepared;
  const bound = (i: number) => Math.floor((i * task.draws) / count);
  const ranges = await Promise.all(
    Array.from({ length: count }, (_, i) =>
      runShare({ model, data, task, from: bound(i), to: bound(i + 1) }),
    ),
  );
  return gatherDraws(prepared, task, ranges);
}

function runShare(share: DrawShare): Promise<Float64Array> {
  return new Promise((settle, refuse) => {
    const worker = startWorker(import.meta.url, 'draw-worker', share);
    worker.once('message', settle);
    worker.once('error', refuse);
    worker.once('exit', (code) => refuse(new Error(`drawRefitsOnWorkers: a thread ended with code ${code}`)));
  });
}
