/**
 * `npm run bench -- scale` asks studies of a million invented swings, as CSV and packed as Parquet, and with `--large` asks
 * drill-trial of 10 and 50 million swings in Parquet, which are summed and not read; each step in a process of its own, so
 * that the peak memory is that of the step. Planted: the drill moves the shaft lean by 1.5 degrees. Seconds are of the
 * processor (several threads add up). All files are in a temporary folder and deleted.
 */
import { createHash } from 'node:crypto';
import { createReadStream, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pipeline } from 'node:stream/promises';
import { ask } from '../../src/cli/commands/ask.ts';
import { packDataset } from '../../src/dataset/index.ts';
import type { Finding } from '../../src/studies/index.ts';
import { writeLargeDataset } from './large-dataset.ts';
import { stepApart } from './step-apart.ts';

const METRIC = 'shaft_lean_impact_deg';

/** A folder of so many swings in Parquet, 125 to a session, with the descriptor that `pack` would write. */
export async function writeLargePacked(folder: string, swings: number): Promise<void> {
  await writeLargeDataset(folder, swings, 'parquet', 125);
  const hash = createHash('sha256');
  await pipeline(createReadStream(join(folder, 'swings.parquet')), hash);
  const tables = ['golfers', 'sessions', 'assignments'].map((name) => ({ name, path: `${name}.csv` }));
  const packed = {
    name: 'swings',
    path: 'swings.parquet',
    format: 'parquet',
    mediatype: 'application/vnd.apache.parquet',
    hash: `sha256:${hash.digest('hex')}`,
  };
  writeFileSync(join(folder, 'datapackage.json'), JSON.stringify({ resources: [...tables, packed] }));
}

async function asked(folder: string, study: string): Promise<string> {
  const quiet = { step: () => undefined, done: () => undefined } as unknown as Parameters<typeof ask>[1];
  const outcome = await ask(
    {
      study,
      data: folder,
      metric: METRIC,
      plan: undefined,
      out: join(folder, '..', `report-${study}-${process.pid}`),
    },
    quiet,
  );
  if (outcome.exit !== 0) throw new Error(JSON.stringify(outcome.messages));
  const { estimates, verdict } = outcome.json as Finding;
  const { name, value, interval } = estimates[0]!;
  return `${verdict}; ${name} ${value?.toFixed(3)} (${interval.map((end) => end?.toFixed(3)).join(' to ')})`;
}

const steps: Readonly<Record<string, (folder: string, rows: number) => Promise<string>>> = {
  'make CSV': async (folder, rows) => {
    await writeLargeDataset(join(folder, 'csv'), rows, 'csv');
    return '';
  },
  pack: async (folder) => {
    const { valid } = await packDataset(join(folder, 'csv'), join(folder, 'packed'));
    return valid ? '' : 'NOT VALID';
  },
  'drill-trial, CSV': (folder) => asked(join(folder, 'csv'), 'drill-trial'),
  'drill-trial, Parquet': (folder) => asked(join(folder, 'packed'), 'drill-trial'),
  'noise, CSV': (folder) => asked(join(folder, 'csv'), 'noise'),
  'noise, Parquet': (folder) => asked(join(folder, 'packed'), 'noise'),
};
const largeSteps: typeof steps = {
  'make Parquet': async (folder, rows) => {
    await writeLargePacked(join(folder, 'packed'), rows);
    return '';
  },
  'drill-trial, sums': (folder) => asked(join(folder, 'packed'), 'drill-trial'),
  'mechanism, sums': (folder) => asked(join(folder, 'packed'), 'mechanism'),
};

async function step(name: string, folder: string, rows: number): Promise<void> {
  const said = await (steps[name] ?? largeSteps[name])!(folder, rows);
  const { userCPUTime, systemCPUTime, maxRSS } = process.resourceUsage();
  const seconds = (userCPUTime + systemCPUTime) / 1e6;
  console.log(
    `${name.padEnd(22)} ${seconds.toFixed(1).padStart(7)} s  ${Math.round(rows / seconds / 1000)
      .toString()
      .padStart(6)} thousand rows/s  ${(maxRSS / 1024).toFixed(0).padStart(5)} MiB  ${said}`,
  );
}

function main(large: boolean): void {
  const runs = [
    [1_000_000, steps],
    ...(large ? [[10_000_000, largeSteps] as const, [50_000_000, largeSteps] as const] : []),
  ] as const;
  for (const [rows, own] of runs) {
    const folder = mkdtempSync(join(tmpdir(), 'bench-scale-'));
    try {
      console.log(`${rows} swings (wanted: 1024 MiB at most)`);
      for (const name of Object.keys(own)) stepApart(import.meta.url, name, folder, rows);
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  }
}

const words = process.argv.slice(2);
if (words[0] === '--step') await step(words[1]!, words[2]!, Number(words[3]));
else main(words.includes('--large'));
