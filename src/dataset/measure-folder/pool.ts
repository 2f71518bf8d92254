import { startWorker } from '../../numerics/index.ts';
import type { Outcome } from './measure-one.ts';

export interface Job {
  readonly index: number;
  readonly path: string;
  readonly file: string;
  /** Place of its layout among those given at the start. */
  readonly layout: number;
}

export type JobResult =
  /** `outcome` is null where the log has it already. */
  | {
      readonly index: number;
      readonly sha256: string;
      readonly key: string;
      readonly outcome: Outcome | null;
    }
  /** The system's code for why the file could not be read. */
  | { readonly index: number; readonly unread: string }
  /** The thread stopped in the middle of this file. */
  | { readonly index: number; readonly stopped: string };

export interface WorkerStart {
  readonly layouts: readonly { readonly value: unknown; readonly sha256: string }[];
  /** Keys of the outcomes that the log has. */
  readonly known: readonly string[];
}

/**
 * Runs jobs on worker threads, each of which takes the next one when it is free. A thread that stops fails only the
 * job it was at; another takes its place.
 *
 * @param onResult called on this thread, in the order in which jobs end; it is waited for
 * @throws Error when a thread cannot start at all
 */
export async function runJobs(
  jobs: readonly Job[],
  workers: number,
  start: WorkerStart,
  onResult: (result: JobResult) => Promise<void>,
): Promise<void> {
  let next = 0;
  let failure: unknown = null;
  const lane = async (): Promise<void> => {
    while (next < jobs.length && failure === null) {
      const thread = await startThread(start);
      try {
        while (next < jobs.length && failure === null) {
          const job = jobs[next++]!;
          const result = await thread.run(job);
          await onResult(result);
          if ('stopped' in result) break;
        }
      } finally {
        await thread.end();
      }
    }
  };
  const lanes = Array.from({ length: Math.max(1, Math.min(workers, jobs.length)) }, () =>
    lane().catch((error: unknown) => {
      failure ??= error;
    }),
  );
  await Promise.all(lanes);
  if (failure !== null) throw failure;
}

interface Thread {
  run(job: Job): Promise<JobResult>;
  end(): Promise<void>;
}

async function startThread(start: WorkerStart): Promise<Thread> {
  const worker = startWorker(import.meta.url, 'worker', start);
  let answer: (message: unknown) => void = () => undefined;
  let stopped: string | null = null;
  const next = (): Promise<unknown> =>
    new Promise((settle) => {
      answer = settle;
      if (stopped !== null) settle(null);
    });
  const stop = (why: string): void => {
    stopped ??= why;
    answer(null);
  };
  worker.on('message', (message) => answer(message));
  worker.on('error', (error) => stop(error instanceof Error ? error.message : String(error)));
  worker.on('exit', (code) => stop(`the thread ended with code ${code}`));
  if ((await next()) !== 'ready')
    throw new Error(`measureFolder: a worker thread could not start: ${stopped ?? 'no reason given'}`);
  return {
    async run(job) {
      const result = next();
      worker.postMessage(job);
      return (
        ((await result) as JobResult | null) ?? { index: job.index, stopped: stopped ?? 'no reason given' }
      );
    },
    async end() {
      await worker.terminate();
    },
  };
}
