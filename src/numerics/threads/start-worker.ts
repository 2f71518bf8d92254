import { Worker } from 'node:worker_threads';

/**
 * Starts a thread on a program that lies beside the caller: as it was built, or, from the sources, through the loader that
 * they themselves run under.
 *
 * @param here the caller's `import.meta.url`
 * @param name of the program, without its ending
 * @example startWorker(import.meta.url, 'draw-worker', { from: 0, to: 100 })
 */
export function startWorker(here: string, name: string, workerData: unknown): Worker {
  if (here.endsWith('.js')) return new Worker(new URL(`./${name}.js`, here), { workerData });
  const loader = import.meta.resolve('tsx/esm/api');
  const program = new URL(`./${name}.ts`, here).href;
  const source = `import('${loader}').then(({ register }) => { register(); return import('${program}'); });`;
  return new Worker(source, { eval: true, execArgv: [], workerData });
}
