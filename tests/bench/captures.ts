/**
 * How fast captures become numbers: decoding of C3D float data, and a folder of 1,000 swings from files to the tables
 * of a dataset. Run with `npx tsx tests/bench/captures.ts` on an idle machine; it prints rates and asserts nothing.
 */
import { mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises';
import { availableParallelism, tmpdir } from 'node:os';
import { join } from 'node:path';
import { measureFolder } from '../../src/dataset/index.ts';
import { type Layout, measureCapture, readC3d } from '../../src/kinematics/index.ts';
import { swingFile, swingLayout } from './swing-file.ts';

const SWINGS = 1000;
const WANTED_MB_A_SECOND = 250;
const WANTED_SECONDS = 8;
const WIDTH = 44;

function median(values: number[]): number {
  values.sort((a, b) => a - b);
  return values[values.length >> 1]!;
}

function secondsOf(work: () => unknown): number {
  const start = performance.now();
  work();
  return (performance.now() - start) / 1000;
}

const verdict = (good: boolean, wanted: string): string => (good ? '' : `  short of ${wanted}`);
const mebibytes = (bytes: number): string => `${(bytes / 2 ** 20).toFixed(0)} MiB`;

function decoding(name: string, seconds: number): void {
  const bytes = swingFile({ seconds });
  for (let i = 0; i < 5; i++) readC3d(bytes);
  const took = median(Array.from({ length: 15 }, () => secondsOf(() => readC3d(bytes))));
  const rate = bytes.length / 1e6 / took;
  console.log(
    `${name.padEnd(WIDTH)} ${(bytes.length / 1e6).toFixed(1).padStart(6)} MB  ${rate.toFixed(0).padStart(6)} MB/s${verdict(rate >= WANTED_MB_A_SECOND, `${WANTED_MB_A_SECOND} MB/s`)}`,
  );
}

function measuring(name: string, layout: Layout): void {
  const c3dBytes = swingFile({ seconds: 2 });
  const one = (): unknown => measureCapture({ c3dBytes, layout, options: { columnsOnly: true } });
  for (let i = 0; i < 150; i++) one();
  const took = median(Array.from({ length: 60 }, () => secondsOf(one)));
  console.log(`${name.padEnd(WIDTH)} ${(took * 1000).toFixed(2)} ms`);
}

async function folder(swings: number, workers: number): Promise<void> {
  const root = await mkdtemp(join(tmpdir(), 'bench-captures-'));
  try {
    const captures = join(root, 'captures', 'S1');
    await writeSwings(captures, swings);
    const layout = join(root, 'layout.json');
    await writeFile(layout, JSON.stringify(swingLayout));
    const before = process.memoryUsage.rss();
    let quarter = 0;
    const cpu = process.cpuUsage();
    const start = performance.now();
    const outcome = await measureFolder({
      captures: join(root, 'captures'),
      layout,
      out: join(root, 'out'),
      workers,
      onProgress: (done) => {
        if (done === Math.floor(swings / 4)) quarter = process.memoryUsage.rss();
      },
    });
    const took = (performance.now() - start) / 1000;
    const { user, system } = process.cpuUsage(cpu);
    if (!outcome.ok) throw new Error(`bench: ${outcome.problems.map(({ found }) => found).join('; ')}`);
    const { measured, failed } = outcome.value;
    const after = process.memoryUsage.rss();
    console.log(
      `${`${swings} swings, files to tables, ${workers} worker${workers === 1 ? '' : 's'}`.padEnd(WIDTH)} ${took.toFixed(2)} s (${measured} measured, ${failed.length} failed)${verdict(took < WANTED_SECONDS || workers < 2, `${WANTED_SECONDS} s`)}`,
    );
    console.log(
      `${'  work of all threads'.padEnd(WIDTH)} ${((user + system) / 1e6).toFixed(2)} CPU seconds (2 cores with nothing else to do: half of that)`,
    );
    console.log(
      `${'  memory of the process'.padEnd(WIDTH)} ${mebibytes(before)} before, ${mebibytes(quarter)} after a quarter, ${mebibytes(after)} at the end`,
    );
  } finally {
    await rm(root, { recursive: true, force: true });
  }
}

async function writeSwings(path: string, swings: number): Promise<void> {
  await mkdir(path, { recursive: true });
  for (let i = 0; i < swings; i++)
    await writeFile(join(path, `swing-${i + 1}.c3d`), swingFile({ seconds: 2, seed: i + 1 }));
}

console.log(`Cores: ${availableParallelism()}`);
decoding('C3D float decode, 2 s at 240 Hz, 45 markers', 2);
decoding('C3D float decode, 60 s at 240 Hz, 45 markers', 60);
measuring('one swing in memory to metrics, one core', swingLayout);
measuring('  with cut-offs by residual analysis', {
  ...swingLayout,
  processing: { cutoff: 'by residual analysis' },
});
measuring('  with derivatives from a spline', { ...swingLayout, processing: { derivatives: 'spline' } });
await folder(SWINGS, 1);
await folder(SWINGS, 2);
console.log(`Peak memory of the whole run: ${mebibytes(process.resourceUsage().maxRSS * 1024)}`);
