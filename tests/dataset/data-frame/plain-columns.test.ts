import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type Dataset,
  datasetFromRows,
  fromDataFrame,
  loadDanfo,
  plainColumns,
  TABLE_NAMES,
  tableFromPlain,
  toDataFrame,
} from '../../../src/dataset/index.ts';
import { anyRows } from '../any-rows.ts';
import { loadFiles, ROSTER } from '../roster.ts';
import { differenceOf } from './same-table.ts';

async function hostile(): Promise<Dataset> {
  const loaded = await loadFiles({
    ...ROSTER,
    'swings.csv':
      'swing_id,session_id,order_in_session,task,attack_angle_deg,club_speed_mps,ground_first,note\n' +
      'W1,S1,1,full,-0,,yes,NaN\nW2,S1,2,full,0,,no,null\nW3,S1,3,full,,,,\n',
  });
  if (!loaded.valid) throw new Error(JSON.stringify(loaded.problems));
  return loaded.value;
}

describe('plain columns', () => {
  it('are what they were: minus zero, zero and missing; the text NaN; columns with nothing in them', async () => {
    const { swings } = (await hostile()).tables;
    expect(plainColumns(swings).slice(4)).toEqual([
      { name: 'club_speed_mps', kind: 'number', values: [Number.NaN, Number.NaN, Number.NaN] },
      { name: 'attack_angle_deg', kind: 'number', values: [-0, 0, Number.NaN] },
      { name: 'ground_first', kind: 'yes-no', values: [true, false, null] },
      { name: 'note', kind: 'text', values: ['NaN', 'null', null] },
    ]);
  });

  it('make the same table again, of any valid dataset', () => {
    let tried = 0;
    fc.assert(
      fc.property(anyRows, (rows) => {
        const made = datasetFromRows(rows);
        if (!made.valid) return;
        for (const name of TABLE_NAMES) {
          const table = made.value.tables[name];
          expect(differenceOf(table, tableFromPlain(name, plainColumns(table), table.length))).toBeNull();
        }
        tried += 1;
      }),
      { numRuns: 100, seed: 8 },
    );
    expect(tried).toBeGreaterThan(30);
  });

  it('of another kind, length or name twice are refused, with column and row', () => {
    const golfers = (values: unknown[], name = 'height_cm', length = values.length) =>
      tableFromPlain('golfers', [{ name, values }], length);
    expect(() => golfers([170, '180'])).toThrow(
      'tableFromPlain: row 1 of golfers.height_cm is "180". Give a number, or NaN or null where it is missing.',
    );
    expect(() => golfers([7], 'golfer_id')).toThrow('row 0 of golfers.golfer_id is 7. Give a text');
    expect(() => golfers([10n])).toThrow('row 0 of golfers.height_cm is 10');
    expect(() => golfers([170], 'height_cm', 2)).toThrow('has 1 cells and the table 2 rows');
    expect(() =>
      tableFromPlain(
        'golfers',
        [
          { name: 'note', values: [] },
          { name: 'note', values: [] },
        ],
        0,
      ),
    ).toThrow("two columns 'note'");
    expect(golfers([null, undefined, Number.NaN, 0]).numbers('height_cm')).toEqual(
      Float64Array.of(Number.NaN, Number.NaN, Number.NaN, 0),
    );
  });
});

const danfo = await loadDanfo().catch((error: Error) => error);

describe('danfojs-node', () => {
  it.skipIf(!(danfo instanceof Error))('where it is absent, says what to install', () => {
    expect(danfo).toMatchObject({
      message: expect.stringMatching(
        /loadDanfo: danfojs-node is not installed\. .*npm install danfojs-node@/,
      ),
    });
  });

  // Installed by tests/dataset/data-frame/round-trip.ts, which tries far more than this.
  it.skipIf(danfo instanceof Error)('takes every table and gives it back as it was', async () => {
    if (danfo instanceof Error) return;
    for (const table of Object.values((await hostile()).tables))
      expect(differenceOf(table, fromDataFrame(table.name, toDataFrame(table, danfo)))).toBeNull();
  });
});
