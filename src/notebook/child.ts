/**
 * The process in which a notebook runs. Reads its order on standard input, loads the notebook's code under the
 * notebook's own URL, and reports what happens on file descriptor 3.
 */
import { readFileSync } from 'node:fs';
import { register } from 'node:module';
import { createCellRecorder, RECORDER } from './cell-recorder.ts';
import type { ChildOrder, StreamName } from './child-events.ts';
import { CONTEXT } from './context.ts';
import { describeError } from './describe-error.ts';
import { writeEvent } from './event-writer.ts';
import { describeLoadError, findFailingImport } from './load-error.ts';
import { watchMemory } from './memory-watch.ts';
import { ownModules } from './own-modules.ts';

const order = JSON.parse(readFileSync(0, 'utf8')) as ChildOrder;
const leave = process.exit.bind(process);
const recorder = createCellRecorder(writeEvent);

Error.stackTraceLimit = 100;
process.setSourceMapsEnabled(true);
watchMemory(order.memoryLimit_mb);
capture('stdout');
capture('stderr');
Object.assign(globalThis, {
  [Symbol.for(RECORDER)]: recorder,
  [CONTEXT]: { dataDir: order.dataDir, seed: order.seed, show: recorder.show },
});
process.on('uncaughtException', fail);
process.on('unhandledRejection', fail);
process.on('beforeExit', () => {
  if (recorder.stage() !== 'ended')
    fail(new Error('the cell waits for something that never comes: a promise that nothing settles'));
  writeEvent({ type: 'done' });
  leave(0);
});
register(
  new URL(import.meta.url.endsWith('.ts') ? './loader-hooks.ts' : './loader-hooks.js', import.meta.url),
  {
    data: { url: order.url, code: order.code, imports: order.imports, own: ownModules() },
  },
);

try {
  await import(order.url);
} catch (error) {
  if (recorder.stage() === 'loading') {
    const failing = await findFailingImport(error, order);
    writeEvent({ type: 'error', error: describeLoadError(failing, order.url), cell: failing.cell });
    leave(1);
  }
  fail(error);
}

function fail(error: unknown): never {
  writeEvent({ type: 'error', error: describeError(error, order.url, recorder.line()), cell: null });
  return leave(1);
}

function capture(name: StreamName): void {
  process[name].write = ((chunk: string | Uint8Array, ...rest: unknown[]) => {
    recorder.print(name, typeof chunk === 'string' ? chunk : Buffer.from(chunk).toString('utf8'));
    const done = rest.find((argument) => typeof argument === 'function') as (() => void) | undefined;
    if (done !== undefined) queueMicrotask(done);
    return true;
  }) as typeof process.stdout.write;
}
