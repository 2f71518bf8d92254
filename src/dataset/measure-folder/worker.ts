import { readFileSync } from 'node:fs';
import { parentPort, workerData } from 'node:worker_threads';
import { sha256Hex } from '../hash.ts';
import { keyOf, measureOne } from './measure-one.ts';
import type { Job, JobResult, WorkerStart } from './pool.ts';

/** Runs in a thread of its own: reads, hashes and measures one capture at a time. */
const { layouts, known } = workerData as WorkerStart;
const done = new Set(known);

function work({ index, path, file, layout }: Job): JobResult {
  let bytes: Uint8Array;
  try {
    bytes = readFileSync(path);
  } catch (error) {
    const code = error instanceof Error && 'code' in error ? String(error.code) : 'unknown';
    return { index, unread: code };
  }
  const { value, sha256: layoutSha256 } = layouts[layout]!;
  const sha256 = sha256Hex(bytes);
  const key = keyOf(sha256, layoutSha256);
  return { index, sha256, key, outcome: done.has(key) ? null : measureOne(bytes, file, value) };
}

parentPort?.on('message', (job: Job) => parentPort?.postMessage(work(job)));
parentPort?.postMessage('ready');
