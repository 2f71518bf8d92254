import { parentPort, workerData } from 'node:worker_threads';
import { knownTruths } from './cases/index.ts';

export interface CalibrationTask {
  readonly cohorts: number;
  readonly seed: number;
}

/** Runs in a thread of its own: counts the kind of cohort it is told, by place, until it is ended. */
const { cohorts, seed } = workerData as CalibrationTask;
parentPort?.on('message', (at: number) => parentPort?.postMessage(knownTruths[at]!.rows(cohorts, seed)));
