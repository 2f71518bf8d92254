import { parentPort, workerData } from 'node:worker_threads';
import { drawRange } from './draw-refits.ts';
import type { DrawShare } from './draw-refits-on-workers.ts';
import { prepareModel } from './prepared-model.ts';

/** Runs in a thread of its own: prepares the model again and draws its share. */
const { model, data, task, from, to } = workerData as DrawShare;
const outcome = prepareModel(model, data);
if (!outcome.ok) throw new Error('draw-worker: the model could be prepared in the thread that asked');
const rows = drawRange(outcome.prepared, task, from, to);
parentPort?.postMessage(rows, [rows.buffer as ArrayBuffer]);
