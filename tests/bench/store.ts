/**
 * `npm run bench -- store` makes a dataset of a million invented swings (`--rows N`: another number), then checks it, packs
 * it, checks the pack, asks it noise and drill-trial, queries it and unpacks it, each in a process of its own, and prints
 * seconds, rows a second and peak memory. With `--sums N` it makes a Parquet file of N swings instead (50 million are meant)
 * and fits the models of drill-trial and of mechanism from sums. All files are in a temporary folder and deleted.
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { loadDataset, packDataset, queryDataset, sumFile, unpackDataset } from '../../src/dataset/index.ts';
import { fitSums, type Model } from '../../src/stats/index.ts';
import { studies } from '../../src/studies/index.ts';
import { writeLargeDataset } from './large-dataset.ts';

/** The main model of drill-trial on swings, and that of mechanism: an arrow within golfers. */
const models: Readonly<Record<string, Model>> = {
  'drill-trial': {
    outcome: 'shaft_lean_impact_deg',
    fixed: [
      'intercept',
      { column: 'phase', levels: ['baseline', 'post'] },
      { column: 'arm', levels: ['control', 'drill'] },
      { product: ['phase', 'arm'] },
    ],
    random: [
      { group: 'golfer', effects: ['intercept'] },
      { group: ['golfer', 'session_id'], effects: ['intercept'] },
    ],
  },
  mechanism: {
    outcome: 'shaft_lean_impact_deg',
    fixed: [
      'intercept',
      { column: 'release_onset_ms', within: 'golfer' },
      { column: 'release_onset_ms', between: 'golfer' },
    ],
    random: [
      { group: 'golfer', effects: ['intercept'] },
      { group: ['golfer', 'session_id'], effects: ['intercept'] },
    ],
  },
};

const valid = <T extends { valid: boolean; problems: readonly unknown[] }>(
  outcome: T,
): T & { valid: true } => {
  if (!outcome.valid) throw new Error(JSON.stringify(outcome.problems.slice(0, 3)));
  return outcome as T & { valid: true };
};

const steps: Readonly<Record<string, (folder: string, rows: number) => Promise<string>>> = {
  check: async (folder) => `${valid(await loadDataset(join(folder, 'csv'))).problems.length} problems`,
  pack: async (folder) => {
    const { tables } = valid(await packDataset(join(folder, 'csv'), join(folder, 'packed'))).value;
    const sum = (of: 'bytes' | 'csvBytes') => tables.reduce((total, table) => total + table[of], 0);
    return `${(sum('csvBytes') / 1e6).toFixed(0)} MB of CSV -> ${(sum('bytes') / 1e6).toFixed(0)} MB`;
  },
  'check of the pack': async (folder) =>
    `${valid(await loadDataset(join(folder, 'packed'))).problems.length} problems`,
  noise: (folder) => asked(folder, 'noise'),
  'drill-trial': (folder) => asked(folder, 'drill-trial'),
  query: async (folder) => {
    const sql =
      'SELECT golfer_id, avg(club_speed_mps) AS mean FROM swings JOIN sessions USING (session_id) GROUP BY golfer_id';
    return `${valid(await queryDataset(join(folder, 'packed'), sql)).value.rows} golfers`;
  },
  unpack: async (folder) => {
    const { tables } = valid(await unpackDataset(join(folder, 'packed'), join(folder, 'again'))).value;
    return tables.every(({ sameBytes }) => sameBytes) ? 'the same bytes' : 'OTHER BYTES';
  },
};

async function asked(folder: string, study: 'noise' | 'drill-trial'): Promise<string> {
  const dataset = valid(await loadDataset(join(folder, 'packed'))).value;
  const outcome = studies[study].run(dataset, { metric: 'shaft_lean_impact_deg' });
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  return outcome.finding.verdict;
}

/** A process of its own, so that its peak memory is that of the step. */
async function step(name: string, folder: string, rows: number): Promise<void> {
  const start = performance.now();
  const said = await (steps[name] ?? ((at: string) => fitted(name, at)))(folder, rows);
  const seconds = (performance.now() - start) / 1000;
  const peak = process.resourceUsage().maxRSS / 1024;
  const rate = `${Math.round(rows / seconds / 1000)} thousand rows/s`;
  console.log(
    `${name.padEnd(18)} ${seconds.toFixed(1).padStart(6)} s  ${rate.padStart(24)}  ${peak.toFixed(0).padStart(5)} MiB  ${said}`,
  );
}

async function fitted(name: string, folder: string): Promise<string> {
  const sums = await sumFile(models[name]!, join(folder, 'swings.parquet'));
  if (!sums.ok) throw new Error(JSON.stringify(sums.problems));
  const outcome = fitSums(sums.plan, sums.table);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  const { fixed, observations } = outcome.fit.result;
  const last = fixed.at(-1)!;
  return `${observations} swings in ${sums.table.row_count!.length} cells; ${JSON.stringify(last)}`.slice(
    0,
    220,
  );
}

async function main(words: readonly string[]): Promise<void> {
  const option = (name: string) => {
    const at = words.indexOf(name);
    return at < 0 ? null : Number(words[at + 1]);
  };
  const ofSums = option('--sums');
  const rows = ofSums ?? option('--rows') ?? 1_000_000;
  const folder = mkdtempSync(join(tmpdir(), 'bench-store-'));
  try {
    await writeLargeDataset(
      ofSums === null ? join(folder, 'csv') : folder,
      rows,
      ofSums === null ? 'csv' : 'parquet',
    );
    console.log(`${rows} swings (wanted: check below 10 s at a million, pack 300 thousand rows/s, 1024 MiB)`);
    for (const name of Object.keys(ofSums === null ? steps : models))
      spawnSync(
        process.execPath,
        ['--import', 'tsx', fileURLToPath(import.meta.url), '--step', name, folder, String(rows)],
        { stdio: 'inherit' },
      );
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

const words = process.argv.slice(2);
if (words[0] === '--step') await step(words[1]!, words[2]!, Number(words[3]));
else await main(words);
