/**
 * `npm run bench -- store` makes a dataset and a device's export of a million invented swings (`--rows N`: another number,
 * `--quick`: 50 thousand), then checks, packs, queries, unpacks and imports, each in a process of its own, and prints seconds
 * (and those of all cores), rows a second and peak memory. `check` is reading and every check. `pack` is what the command
 * does: it reads the bytes of each table, makes sure that it is a table and that no cell changes by its type, writes and
 * hashes the Parquet files, flushed to disk; the checks of `check` are no part of it, nor of `unpack`, which hashes what it
 * reads and what it writes. `import` is reading the sheet, the checks of the dataset that comes of it, and writing it with its
 * log; `propose` reads the sheet and proposes the mapping. With `--sums N` it makes a Parquet file of N swings instead (50
 * million are meant) and fits the models of drill-trial and of mechanism from sums. All files are in a temporary folder and deleted.
 */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import {
  importFile,
  loadDataset,
  type Mapping,
  packDataset,
  proposeMapping,
  queryDataset,
  sumFile,
  unpackDataset,
} from '../../src/dataset/index.ts';
import { fitSums, type Model } from '../../src/stats/index.ts';
import { MOST_SHEET_ROWS, writeCsvExport, writeXlsxExport } from './device-export.ts';
import { writeLargeDataset } from './large-dataset.ts';
import { stepApart } from './step-apart.ts';

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
  query: async (folder) => {
    const sql =
      'SELECT golfer_id, avg(club_speed_mps) AS mean FROM swings JOIN sessions USING (session_id) GROUP BY golfer_id';
    return `${valid(await queryDataset(join(folder, 'packed'), sql)).value.rows} golfers`;
  },
  unpack: async (folder) => {
    const { tables } = valid(await unpackDataset(join(folder, 'packed'), join(folder, 'again'))).value;
    return tables.every(({ sameBytes }) => sameBytes) ? 'the same bytes' : 'OTHER BYTES';
  },
  'propose .csv': (folder) => proposed(folder, 'export.csv'),
  'import .csv': (folder) => imported(folder, 'export.csv'),
  'propose .xlsx': (folder) => proposed(folder, 'export.xlsx'),
  'import .xlsx': (folder) => imported(folder, 'export.xlsx'),
};

/** What the steps are given, made in a process of its own too: a file that goes through its memory would count as theirs. */
const making: typeof steps = {
  made: async (folder, rows) => {
    await writeLargeDataset(join(folder, 'csv'), rows, 'csv');
    writeCsvExport(join(folder, 'export.csv'), rows);
    if (rows < MOST_SHEET_ROWS) writeXlsxExport(join(folder, 'export.xlsx'), rows);
    return 'tables, and exports of a device';
  },
};

async function proposed(folder: string, file: string): Promise<string> {
  const outcome = proposeMapping(readFileSync(join(folder, file)), file);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  writeFileSync(join(folder, `${file}.json`), JSON.stringify(outcome.mapping));
  return `${outcome.rows} rows, ${outcome.questions.length} questions`;
}

async function imported(folder: string, file: string): Promise<string> {
  const mapping = JSON.parse(readFileSync(join(folder, `${file}.json`), 'utf8')) as Mapping;
  const answered: Mapping = {
    ...mapping,
    columns: mapping.columns.map((map) => (map.to === 'ask' ? { ...map, to: null } : map)),
    golfers: mapping.golfers.map((golfer) => ({ ...golfer, plays: 'right' })),
    sessions: { ...mapping.sessions, phase: 'baseline' },
    task: 'full',
  };
  const source = readFileSync(join(folder, file));
  const outcome = await importFile({ mapping: answered, source, data: join(folder, `${file}-data`) });
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems.slice(0, 3)));
  return JSON.stringify(outcome.value.counts);
}

/** A process of its own, so that its peak memory is that of the step. */
async function step(name: string, folder: string, rows: number): Promise<void> {
  const [start, before] = [performance.now(), process.cpuUsage()];
  const said = await (making[name] ?? steps[name] ?? ((at: string) => fitted(name, at)))(folder, rows);
  const seconds = (performance.now() - start) / 1000;
  const { user, system } = process.cpuUsage(before);
  const cpu = `(${((user + system) / 1e6).toFixed(1)} s)`;
  const peak = process.resourceUsage().maxRSS / 1024;
  const rate = `${Math.round(rows / seconds / 1000)} thousand rows/s`;
  console.log(
    `${name.padEnd(18)} ${seconds.toFixed(1).padStart(6)} s ${cpu.padStart(9)}  ${rate.padStart(24)}  ${peak.toFixed(0).padStart(5)} MiB  ${said}`,
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
  const rows = ofSums ?? option('--rows') ?? (words.includes('--quick') ? 50_000 : 1_000_000);
  const folder = mkdtempSync(join(tmpdir(), 'bench-store-'));
  try {
    console.log(`${rows} swings (wanted: check below 10 s at a million, pack 300 thousand rows/s, 1024 MiB)`);
    if (ofSums !== null) await writeLargeDataset(folder, rows, 'parquet');
    const wanted = Object.keys(steps).filter((name) => !name.includes('.xlsx') || rows < MOST_SHEET_ROWS);
    for (const name of ofSums === null ? [...Object.keys(making), ...wanted] : Object.keys(models))
      stepApart(import.meta.url, name, folder, rows);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

const words = process.argv.slice(2);
if (words[0] === '--step') await step(words[1]!, words[2]!, Number(words[3]));
else await main(words);
