import { writeSync } from 'node:fs';
import type { ChildEvent } from './child-events.ts';

/** The file descriptor on which the child process reports. */
export const EVENT_FD = 3;

/**
 * Writes an event at once, waiting for room: what a cell did is known even if the process is killed in the next
 * statement.
 */
export function writeEvent(event: ChildEvent): void {
  const bytes = Buffer.from(`${JSON.stringify(event)}\n`);
  let sent = 0;
  while (sent < bytes.length) {
    try {
      sent += writeSync(EVENT_FD, bytes, sent);
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'EAGAIN') throw error;
      Atomics.wait(PAUSE, 0, 0, 2);
    }
  }
}

const PAUSE = new Int32Array(new SharedArrayBuffer(4));
