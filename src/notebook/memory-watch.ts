import { Worker } from 'node:worker_threads';
import { EVENT_FD } from './event-writer.ts';

const LOOK_EVERY_MS = 50;

/**
 * Ends this process when it holds more memory than it may, or when the process that started it is gone. It looks
 * from a thread of its own, so a loop that never pauses is caught too; memory outside the JavaScript heap counts.
 */
export function watchMemory(limit_mb: number): void {
  const worker = new Worker(WATCH, {
    eval: true,
    execArgv: [],
    stdout: true,
    stderr: true,
    workerData: { limit_mb, parent: process.ppid, fd: EVENT_FD, every_ms: LOOK_EVERY_MS },
  });
  worker.unref();
}

/** Plain JavaScript, because a worker made from a file would load the whole TypeScript loader a second time. */
const WATCH = `
const { workerData: { limit_mb, parent, fd, every_ms } } = require('node:worker_threads');
const { writeSync } = require('node:fs');
setInterval(() => {
  const used_mb = Math.round(process.memoryUsage.rss() / 2 ** 20);
  if (process.ppid !== parent) process.kill(process.pid, 'SIGKILL');
  if (used_mb <= limit_mb) return;
  try { writeSync(fd, '\\n' + JSON.stringify({ type: 'memory', used_mb }) + '\\n'); } catch {}
  process.kill(process.pid, 'SIGKILL');
}, every_ms);
`;
