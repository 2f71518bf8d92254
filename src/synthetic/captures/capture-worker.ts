import { closeSync, fsyncSync, openSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { parentPort, workerData } from 'node:worker_threads';
import { sha256Hex } from '../../dataset/index.ts';
import { captureFile, captureSwing, truthText } from './capture-swing.ts';
import type { CaptureBatch, CapturedSwing, WorkerTask } from './capture-task.ts';

/** Runs in a thread of its own: simulates, captures and writes a batch of swings at a time. */
const { folder, settings, seed } = workerData as WorkerTask;

function write(name: string, content: Uint8Array): void {
  const file = openSync(join(folder, name), 'wx');
  try {
    for (let at = 0; at < content.length; ) at += writeSync(file, content, at);
    fsyncSync(file);
  } finally {
    closeSync(file);
  }
}

function work(batch: CaptureBatch): CapturedSwing[] {
  return batch.swings.map((swing): CapturedSwing => {
    const { swing_id } = swing;
    const capture = captureSwing(swing, settings, seed);
    if ('fault' in capture) return { swing_id, fault: capture.fault };
    const bytes = captureFile(capture, settings);
    write(`${swing_id}.c3d`, bytes);
    write(`${swing_id}.truth.json`, new TextEncoder().encode(truthText(swing, capture, settings)));
    return { swing_id, sha256: sha256Hex(bytes), bytes: bytes.length, metrics: capture.truth.metrics };
  });
}

parentPort?.on('message', (batch: CaptureBatch) => parentPort?.postMessage(work(batch)));
parentPort?.postMessage('ready');
