import { writeFile } from 'node:fs/promises';
import { availableParallelism } from 'node:os';
import { join } from 'node:path';
import type { Worker } from 'node:worker_threads';
import { startWorker } from '../../numerics/index.ts';
import type { CaptureSettings } from './capture-settings.ts';
import type { SwingToCapture } from './capture-swing.ts';
import type { CapturedSwing, WorkerTask } from './capture-task.ts';
import { layoutOf } from './lab.ts';

/** How captures of simulated swings are made. */
export interface WriteCapturesOptions {
  readonly settings: CaptureSettings;
  readonly seed: number;
  /** Threads; as many as the machine runs at once, and at most four, unless said. They change nothing but the time. */
  readonly workers?: number;
  readonly onProgress?: (done: number, total: number) => void;
}

/** Swings that a thread takes at a time. */
const BATCH = 8;
/** An id stands in the name of a file. */
const USABLE_ID = /^[A-Za-z0-9][A-Za-z0-9._-]{0,99}$/;

/**
 * The name of the layout file of the golfers who play from one side.
 * @example layoutName('left') // 'layout-left.json'
 */
export function layoutName(plays: 'right' | 'left'): string {
  return `layout-${plays}.json`;
}

/**
 * Simulates swings and writes each as a C3D file with its truth beside it (ID.c3d, ID.truth.json), and a layout for each side
 * that is played from. The same swings, settings and seed give the same bytes, whatever the number of threads and the order.
 *
 * @param folder there already; nothing in it is overwritten
 * @returns how it ended for each swing, in their order; one that cannot be swung has a fault in words, and no file
 * @throws Error on an id that is no file name or comes twice, or where a thread stops
 * @example
 * const swing = { swing_id: 'S1', plays: 'right', body: SKILLED_BODY, timings: SKILLED_TIMINGS } as const;
 * const [written] = await writeCaptures('.', [swing], { settings: CLEAN_CAPTURE, seed: 1, workers: 1 });
 * written.sha256 === sha256Hex(readFileSync('S1.c3d')) // true
 */
export async function writeCaptures(
  folder: string,
  swings: readonly SwingToCapture[],
  { settings, seed, workers, onProgress }: WriteCapturesOptions,
): Promise<readonly CapturedSwing[]> {
  const ids = new Set<string>();
  for (const { swing_id } of swings) {
    if (!USABLE_ID.test(swing_id) || ids.has(swing_id.toLowerCase()))
      throw new Error(
        `writeCaptures: the id "${swing_id}" ${USABLE_ID.test(swing_id) ? 'comes twice' : 'is no file name'}; give each swing its own, of letters, digits, dots, dashes and underscores.`,
      );
    ids.add(swing_id.toLowerCase());
  }
  for (const plays of new Set(swings.map((swing) => swing.plays))) {
    const layout = layoutOf(settings.lab, plays, settings.noise_mm);
    await writeFile(join(folder, layoutName(plays)), `${JSON.stringify(layout, null, 1)}\n`, { flag: 'wx' });
  }
  const batches = Array.from({ length: Math.ceil(swings.length / BATCH) }, (_, i) =>
    swings.slice(i * BATCH, (i + 1) * BATCH),
  );
  const results = new Array<readonly CapturedSwing[]>(batches.length);
  const task: WorkerTask = { folder, settings, seed };
  let [next, done] = [0, 0];
  const lane = async (): Promise<void> => {
    const thread = startThread(task);
    try {
      while (next < batches.length) {
        const at = next++;
        results[at] = await thread.run(batches[at]!);
        done += results[at].length;
        onProgress?.(done, swings.length);
      }
    } finally {
      await thread.end();
    }
  };
  const lanes = Math.min(workers ?? Math.min(4, availableParallelism()), batches.length);
  await Promise.all(Array.from({ length: lanes }, lane));
  return results.flat();
}

function startThread(task: WorkerTask) {
  const worker: Worker = startWorker(import.meta.url, 'capture-worker', task);
  let settle: { resolve: (message: unknown) => void; reject: (error: Error) => void } | null = null;
  let stopped: Error | null = null;
  const next = (): Promise<unknown> =>
    new Promise((resolve, reject) => {
      if (stopped) reject(stopped);
      else settle = { resolve, reject };
    });
  const stop = (why: string): void => {
    stopped ??= new Error(`writeCaptures: a thread stopped: ${why}`);
    settle?.reject(stopped);
  };
  worker.on('message', (message) => settle?.resolve(message));
  worker.on('error', (error) => stop(error instanceof Error ? error.message : String(error)));
  worker.on('exit', (code) => stop(`it ended with code ${code}`));
  const ready = next();
  ready.catch(() => undefined);
  return {
    async run(swings: readonly SwingToCapture[]): Promise<readonly CapturedSwing[]> {
      await ready;
      const result = next();
      worker.postMessage({ swings });
      return (await result) as readonly CapturedSwing[];
    },
    async end(): Promise<void> {
      await worker.terminate();
    },
  };
}
