/**
 * Installs danfojs-node in a folder for the time being (about 340 MB; it is no dependency of ours) and hands every table of
 * the demo, of each recipe's cohort and of random datasets to it and back:
 *
 *   npx tsx tests/dataset/data-frame/round-trip.ts             installs it in a temporary folder, and removes that
 *   npx tsx tests/dataset/data-frame/round-trip.ts FOLDER      uses what is installed in FOLDER
 *
 * Prints what was tried; exit 1 where a table did not come back as it was.
 */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import {
  type DataFrameModule,
  type Dataset,
  datasetFromRows,
  fromDataFrame,
  loadDataset,
  TABLE_NAMES,
  type Table,
  tableFromPlain,
  toDataFrame,
} from '../../../src/dataset/index.ts';
import { generateCohort, loadRecipe, recipeNames, writeCohort } from '../../../src/synthetic/index.ts';
import { anyRows } from '../any-rows.ts';
import { differenceOf } from './same-table.ts';

const MANIFEST = {
  private: true,
  dependencies: { 'danfojs-node': '1.2.0' },
  overrides: { '@tensorflow/tfjs-node': 'npm:@tensorflow/tfjs@^3.21.0', xlsx: 'npm:xlsx@0.18.5' },
};

const given = process.argv[2];
const scratch = mkdtempSync(join(tmpdir(), 'danfo-'));
try {
  const folder = given ?? install(scratch);
  const danfo = createRequire(join(folder, 'package.json'))('danfojs-node') as DataFrameModule & {
    readonly __version: string;
  };
  console.log(`danfojs-node ${danfo.__version}`);
  const faults = [
    ...tables(danfo, 'made by hand', byHand()),
    ...(await demo(danfo)),
    ...(await recipes(danfo)),
    ...random(danfo),
    ...namesOfItsOwn(danfo),
  ];
  for (const fault of faults) console.error(fault);
  process.exitCode = faults.length > 0 ? 1 : 0;
} finally {
  rmSync(scratch, { recursive: true, force: true });
}

function install(folder: string): string {
  writeFileSync(join(folder, 'package.json'), JSON.stringify(MANIFEST));
  execFileSync('npm', ['install', '--no-audit', '--no-fund', '--ignore-scripts'], {
    cwd: folder,
    stdio: ['ignore', 'ignore', 'inherit'],
  });
  return folder;
}

function tables(danfo: DataFrameModule, what: string, given: readonly Table[]): string[] {
  let cells = 0;
  const faults = given.flatMap((table) => {
    cells += table.length * table.columnNames.length;
    const difference = differenceOf(table, fromDataFrame(table.name, toDataFrame(table, danfo)));
    return difference === null ? [] : [`${what}: ${difference}`];
  });
  if (what !== '') console.log(`${what}: ${given.length} tables, ${cells} cells, ${faults.length} faults`);
  return faults;
}

function tablesOf(dataset: Dataset): readonly Table[] {
  return TABLE_NAMES.map((name) => dataset.tables[name]);
}

/** What is most easily lost: signs of zero, digits beyond single precision, texts that look like numbers, nothing at all. */
function byHand(): readonly Table[] {
  const column = (name: string, values: readonly unknown[]) => ({ name, values });
  return [
    tableFromPlain(
      'golfers',
      [
        column('golfer_id', ['007', '1e3', 'NaN', 'null', 'true', '2026-03-04']),
        column('handicap_index', [0.1, -0, 0, Number.NaN, 1 / 3, 5e-324]),
        column('height_cm', [1.7976931348623157e308, 2 ** 53, -1, Number.NaN, Number.NaN, 0]),
        column('consent_date', [null, null, null, null, null, '2026-03-04']),
        column('age_band', [null, null, null, null, null, null]),
        column('a note, "quoted"', ['\u202Ex', ' ', '\n', null, '0', '-0']),
      ],
      6,
    ),
    tableFromPlain(
      'swings',
      [
        column('ground_first', [null, true, false]),
        column('club_speed_mps', [Number.NaN, Number.NaN, Number.NaN]),
      ],
      3,
    ),
    tableFromPlain('practice', [column('golfer_id', []), column('reps', [])], 0),
    tableFromPlain('captures', [], 0),
    tableFromPlain('assignments', [column('golfer_id', ['G01'])], 1),
  ];
}

async function demo(danfo: DataFrameModule): Promise<string[]> {
  const loaded = await loadDataset(join(import.meta.dirname, '../../../synthetic/demo'));
  if (!loaded.valid) throw new Error(JSON.stringify(loaded.problems));
  return tables(danfo, 'demo', tablesOf(loaded.value));
}

async function recipes(danfo: DataFrameModule): Promise<string[]> {
  const faults: string[] = [];
  for (const name of await recipeNames()) {
    const loaded = await loadRecipe(name);
    if (!loaded.valid) throw new Error(JSON.stringify(loaded.problems));
    const folder = join(scratch, name);
    await writeCohort(folder, loaded.recipe, generateCohort(loaded.recipe, 8));
    const read = await loadDataset(folder);
    if (!read.valid) throw new Error(JSON.stringify(read.problems));
    faults.push(...tables(danfo, name, tablesOf(read.value)));
    rmSync(folder, { recursive: true });
  }
  return faults;
}

function random(danfo: DataFrameModule): string[] {
  const faults: string[] = [];
  let [datasets, cells] = [0, 0];
  fc.assert(
    fc.property(anyRows, (rows) => {
      const made = datasetFromRows(rows);
      if (!made.valid) return;
      datasets += 1;
      for (const table of tablesOf(made.value)) cells += table.length * table.columnNames.length;
      faults.push(...tables(danfo, '', tablesOf(made.value)));
    }),
    { numRuns: 500, seed: 8 },
  );
  console.log(`random: ${datasets} datasets, ${cells} cells, ${faults.length} faults`);
  return faults;
}

/** Columns that a frame cannot have must be refused in words, not lost or looped over. */
function namesOfItsOwn(danfo: DataFrameModule): string[] {
  return ['shape', 'columns', 'values', 'index', '$data', '$dataIncolumnFormat', 'toString', 'print'].flatMap(
    (name) => {
      try {
        toDataFrame(tableFromPlain('golfers', [{ name, values: ['x'] }], 1), danfo);
        return [`a column '${name}' was not refused`];
      } catch (error) {
        return String(error).includes('something of its own') ? [] : [`a column '${name}': ${error}`];
      }
    },
  );
}
