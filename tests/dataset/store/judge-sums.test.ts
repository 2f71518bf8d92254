/** What loadDataset refuses in a swing is refused in the sums, where the sums tell it. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import {
  datasetFromRows,
  loadSummedCells,
  packDataset,
  type SwingSums,
  writeDataset,
} from '../../../src/dataset/index.ts';
import { judgeSums } from '../../../src/dataset/store/judge-sums.ts';

const METRIC = 'shaft_lean_impact_deg';
const made = datasetFromRows({
  golfers: [{ golfer_id: 'G01', plays: 'right' }],
  sessions: [
    { session_id: 'S1', golfer_id: 'G01', date: '2026-01-05', phase: 'baseline' },
    { session_id: 'S2', golfer_id: 'G01', date: '2026-01-06', phase: 'baseline' },
  ],
  swings: [{ swing_id: 'W1', session_id: 'S1', task: 'full', order_in_session: 1, [METRIC]: 4 }],
} as unknown as Parameters<typeof datasetFromRows>[0]);
if (!made.valid) throw new Error(JSON.stringify(made.problems));
const { sessions } = made.value.tables;

function judged(groups: readonly (readonly [session: string | null, least: number, most: number])[]) {
  const of = (pick: (group: (typeof groups)[number]) => number) => Float64Array.from(groups, pick);
  const sums: SwingSums = {
    column: METRIC,
    rows: 10 * groups.length,
    groups: {
      session: groups.map(([session]) => session),
      task: groups.map(() => 'full'),
      missing: of(() => 0),
      count: of(() => 10),
      mean: of(([, least, most]) => (least + most) / 2),
      squares: of(() => 1),
      least: of(([, least]) => least),
      most: of(([, , most]) => most),
    },
  };
  return judgeSums(sums, sessions).map(({ kind, severity, found }) => `${severity} ${kind}: ${found}`);
}

describe('swings judged by their sums', () => {
  it('finds nothing where all is well', () => {
    expect(
      judged([
        ['S1', 2, 8],
        ['S2', 1, 7],
      ]),
    ).toEqual([]);
  });

  it('refuses sessions that are not in sessions.csv, and swings without one', () => {
    expect(
      judged([
        ['S1', 2, 8],
        ['S3', 2, 8],
        ['S4', 2, 8],
        [null, 2, 8],
      ]),
    ).toEqual([
      'error missing-value: an empty cell in 10 swings',
      'error unknown-key: S3, and 1 more sessions, in 20 swings',
    ]);
  });

  it('refuses values that are not possible, and warns of those that are seldom right', () => {
    expect(
      judged([
        ['S1', -999, 8],
        ['S2', 1, 999],
      ]),
    ).toEqual(['error out-of-range: -999 in session S1, and values of 1 more sessions']);
    expect(judged([['S1', -35, 8]]).map((words) => words.split(':')[0])).toEqual(['warning out-of-range']);
  });

  it('takes a session without a value', () => {
    expect(judged([['S1', Number.NaN, Number.NaN]])).toEqual([]);
  });
});

describe('packed swings that are summed in sets of columns', () => {
  const scratch = mkdtempSync(join(tmpdir(), 'judge-cells-'));
  afterAll(() => rmSync(scratch, { recursive: true, force: true }));

  async function packedWith(name: string, change: (csv: string) => string) {
    const folder = join(scratch, name);
    await writeDataset(folder, made.valid ? made.value : (undefined as never));
    const csv = join(folder, 'swings.csv');
    writeFileSync(csv, change(readFileSync(csv, 'utf8')));
    const packed = await packDataset(folder, `${folder}-packed`);
    if (!packed.valid) throw new Error(JSON.stringify(packed.problems));
    const read = await loadSummedCells(`${folder}-packed`, [], () => [{ name: 'lean', columns: [METRIC] }]);
    return {
      valid: read.valid,
      problems: read.problems
        .filter(({ table }) => table === 'swings')
        .map(({ kind, found }) => `${kind}: ${found}`),
    };
  }

  it('are refused for what loadDataset refuses, in every column of numbers', async () => {
    expect(await packedWith('good', (csv) => csv)).toEqual({ valid: true, problems: [] });
    expect(await packedWith('session', (csv) => csv.replace('S1', 'S9'))).toEqual({
      valid: false,
      problems: ['unknown-key: S9, in 1 swings'],
    });
    expect(await packedWith('value', (csv) => csv.replace(/4(?=[,\r\n])/, '-999'))).toEqual({
      valid: false,
      problems: ['out-of-range: -999'],
    });
  });
});
