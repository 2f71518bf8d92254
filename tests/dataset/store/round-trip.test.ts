/** Packed and unpacked, any dataset is what it was: the bytes of our own files, the values of any other. */
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Ajv } from 'ajv';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  csvLine,
  loadDataset,
  packDataset,
  type RowsInput,
  unpackDataset,
} from '../../../src/dataset/index.ts';
import { rowsFrom } from '../any-rows.ts';
import { inTempFolder, ROSTER } from '../roster.ts';
import { bytesUnder, content, writeFiles } from './folders.ts';

const isDescriptor = new Ajv({ allErrors: true, allowUnionTypes: true }).compile(
  JSON.parse(await readFile(new URL('../data-package-standard.json', import.meta.url), 'utf8')),
);

const HOSTILE = [
  '007',
  '1e5',
  '1E5',
  '0x10',
  '12345678901234567890',
  '9007199254740993',
  '-0',
  '1.50',
  '2026-03-04',
  '2026-3-4',
  '=1+1',
  '@x',
  'NULL',
  'null',
  'NA',
  'NaN',
  'inf',
  'true',
  'yes',
  "it's",
  'say "x"',
  '"',
  '""',
  "'",
  'a,b',
  'a;b',
  'a\tb',
  'x\ny',
  'x\r\ny',
  'x\ry',
  '\u202Eabc',
  'שלום',
  'ä€𝄞',
  'é',
  '\u00A0x',
  '../../etc',
  '*',
  '{a}',
  '$$',
  '--',
  '\\',
  '\\N',
  '%s',
  '#',
  'z'.repeat(10_000),
];

const word = fc.oneof(
  fc.constantFrom(...HOSTILE),
  fc.string({ unit: 'binary', minLength: 1, maxLength: 12 }).filter((text) => !/[\0\p{Cs}]/u.test(text)),
);
const id = fc.oneof(
  fc.constantFrom(
    '007',
    '7',
    '1e5',
    '100000',
    '0x10',
    '12345678901234567890',
    '=1+1',
    'say "x"',
    'a,b',
    "it's",
    '\u05D0\u05D1',
    'NULL',
    'true',
    '2026-03-04',
    '*',
    'Z'.repeat(100),
  ),
  fc.string({ minLength: 1, maxLength: 8 }).filter((text) => /^\S(.*\S)?$/.test(text)),
);

/** Both zeros more often than chance would have them, where they are ordinary values. */
const withZeros = (value: fc.Arbitrary<number>, min: number, max: number) =>
  min <= 0 && max >= 0 ? fc.oneof({ weight: 4, arbitrary: value }, fc.constantFrom(0, -0)) : value;

const dataset = rowsFrom({
  golfers: fc.uniqueArray(id, {
    minLength: 1,
    maxLength: 5,
    selector: (text) => text.toLowerCase().replace(/[\s_-]/g, ''),
  }),
  word,
  within: (min, max) => withZeros(fc.double({ min, max, noNaN: true }), min, max),
  mostSwings: 10,
  extra: fc.constantFrom('note', 'Club', 'a "b"', 'x,y', 'line\nbreak', 'select', "it's", '\u05D0', 'ä'),
});

/** Tables as this program writes them, valid or not. */
function csvFiles(tables: RowsInput): Record<string, string> {
  return Object.fromEntries(
    Object.entries(tables)
      .filter(([, rows]) => rows.length > 0)
      .map(([name, rows]) => {
        const columns = [...new Set(rows.flatMap((row) => Object.keys(row)))];
        const cell = (value: unknown) =>
          value === null || value === undefined
            ? ''
            : value === true
              ? 'yes'
              : value === false
                ? 'no'
                : Object.is(value, -0)
                  ? '-0'
                  : String(value);
        const lines = rows.map((row) =>
          csvLine(columns.map((column) => cell((row as unknown as Record<string, unknown>)[column]))),
        );
        return [`${name}.csv`, [csvLine(columns), ...lines].join('')];
      }),
  );
}

describe('pack, then unpack', () => {
  it('is the identity, in CSV bytes and in typed columns, for any valid dataset', async () => {
    let valid = 0;
    await fc.assert(
      fc.asyncProperty(dataset, async (input) => {
        await inTempFolder(async (folder) => {
          const at = (name: string) => join(folder, name);
          await writeFiles(at('csv'), {
            ...csvFiles(input),
            'truth.json': '{"a":1}',
            'captures/a.c3d': Uint8Array.of(0, 255),
          });
          const packed = await packDataset(at('csv'), at('packed'));
          expect(packed.problems).toEqual([]);
          if (packed.valid)
            for (const { respelled, asText } of packed.value.tables)
              expect([respelled, asText]).toEqual([[], []]);
          const unpacked = await unpackDataset(at('packed'), at('again'));
          expect(unpacked.valid && unpacked.value.tables.every(({ sameBytes }) => sameBytes)).toBe(true);
          const { 'datapackage.json': _made, ...again } = await bytesUnder(at('again'));
          expect(again).toEqual(await bytesUnder(at('csv')));
          const [fromCsv, fromPacked] = [await loadDataset(at('csv')), await loadDataset(at('packed'))];
          expect(fromPacked.problems).toEqual(fromCsv.problems);
          expect(fromPacked.valid).toBe(fromCsv.valid);
          if (fromCsv.valid && fromPacked.valid) {
            valid += 1;
            expect(content(fromPacked.value)).toEqual(content(fromCsv.value));
          }
          const descriptor = JSON.parse(await readFile(at('packed/datapackage.json'), 'utf8'));
          expect(isDescriptor(descriptor), JSON.stringify(isDescriptor.errors)).toBe(true);
        });
      }),
      { numRuns: 40, seed: 8, endOnFailure: true },
    );
    expect(valid).toBeGreaterThan(5);
  }, 120_000);

  it('gives back the demo roster byte for byte, with what lies beside it', async () => {
    const demo = fileURLToPath(new URL('../../../synthetic/demo', import.meta.url));
    await inTempFolder(async (folder) => {
      await packDataset(demo, join(folder, 'packed'));
      await packDataset(demo, join(folder, 'packed-too'));
      await unpackDataset(join(folder, 'packed'), join(folder, 'again'));
      expect(await bytesUnder(join(folder, 'again'))).toEqual(await bytesUnder(demo));
      expect(await bytesUnder(join(folder, 'packed'))).toEqual(await bytesUnder(join(folder, 'packed-too')));
    });
  });
});

/** Tables as people write them: every kind of cell the checks speak of. */
const UNTIDY: Readonly<Record<string, string>> = {
  ...ROSTER,
  'golfers.csv':
    '\uFEFFplays,golfer_id,handicap_index,height_cm,consent_date,,note,Note\r\n' +
    'right,007,14.20,1.78e2,2026-03-01,,1.50,a\r\n' +
    '\r\n' +
    'left,1e5, +3.1 ,  ,2026-03-01,,,"b\r\nc"\r\n',
  'sessions.csv':
    'session_id,golfer_id,date,phase\n' +
    'S1,007,2026-03-04,baseline\n' +
    ',,,\n' +
    'S2,007,2026-3-20,post\n' +
    'S3,1e5,04/05/2026,baseline\n',
  'swings.csv':
    'swing_id,session_id,order_in_session,task,shaft_lean_impact_deg,club_speed_mps,attack_angle_deg,ground_first\n' +
    'W1,S1,1.0,full,2.50,36.4,-0,1\n' +
    'W2,S1,2,full,,fast,+5,TRUE\n' +
    'W3,S2,1e0,full,6.25,1e999,1e-7,no\n' +
    'W4,S3,1,full,-1.5,40.2,,maybe\n',
};

describe('tables as people write them', () => {
  it('are read from a pack with the very problems of the CSV files', async () => {
    await inTempFolder(async (folder) => {
      await writeFiles(join(folder, 'csv'), UNTIDY);
      const packed = await packDataset(join(folder, 'csv'), join(folder, 'packed'));
      if (!packed.valid) throw new Error(JSON.stringify(packed.problems));
      const [csv, parquet] = [
        await loadDataset(join(folder, 'csv')),
        await loadDataset(join(folder, 'packed')),
      ];
      expect(csv.problems.length).toBeGreaterThan(6);
      expect(parquet.problems).toEqual(csv.problems);
      const said = Object.fromEntries(
        packed.value.tables.map(({ table, rows, respelled, asText, unnamed }) => [
          table,
          { rows, respelled, asText, unnamed },
        ]),
      );
      const cells = (column: string, count: number) => ({ column, cells: count });
      expect(said).toEqual({
        golfers: {
          rows: 3,
          respelled: [cells('height_cm', 2)],
          asText: [cells('handicap_index', 1)],
          unnamed: 1,
        },
        sessions: { rows: 4, respelled: [], asText: [cells('date', 2)], unnamed: 0 },
        swings: {
          rows: 4,
          respelled: [
            cells('order_in_session', 2),
            cells('shaft_lean_impact_deg', 1),
            cells('attack_angle_deg', 1),
          ],
          asText: [cells('club_speed_mps', 2), cells('ground_first', 1)],
          unnamed: 0,
        },
      });
      const unpacked = await unpackDataset(join(folder, 'packed'), join(folder, 'again'));
      expect(unpacked.valid).toBe(true);
      expect(await readFile(join(folder, 'again', 'golfers.csv'), 'utf8')).toBe(
        'plays,golfer_id,handicap_index,height_cm,consent_date,note,Note\n' +
          'right,007,14.20,178,2026-03-01,1.50,a\n' +
          ',,,,,,\n' +
          'left,1e5," +3.1 ",,2026-03-01,,"b\r\nc"\n',
      );
      expect((await loadDataset(join(folder, 'again'))).problems).toEqual(csv.problems);
    });
  });

  it.each([
    [
      'a row that is too long',
      { 'swings.csv': `${ROSTER['swings.csv']}W9,S1,9,full,1,2,yes,more\n` },
      'ragged-row',
    ],
    ['a row that is too short', { 'swings.csv': `${ROSTER['swings.csv']}W9,S1,9,full\n` }, 'ragged-row'],
    [
      'a quote out of place',
      { 'swings.csv': `${ROSTER['swings.csv']}W"9,S1,9,full,1,2,yes\n` },
      'unreadable-file',
    ],
    [
      'a quote that is never closed',
      { 'swings.csv': `${ROSTER['swings.csv']}"W9,S1,9,full,1,2,yes\n` },
      'unreadable-file',
    ],
    ['a NUL', { 'swings.csv': `${ROSTER['swings.csv']}W\0,S1,9,full,1,2,yes\n` }, 'unreadable-file'],
    [
      'no UTF-8',
      { 'swings.csv': Buffer.from([0x61, 0x2c, 0x62, 0x0a, 0xff, 0x2c, 0x31, 0x0a]) },
      'unreadable-file',
    ],
    ['a column twice', { 'golfers.csv': 'golfer_id,plays,plays\nG01,right,left\n' }, 'duplicate-column'],
    ['entries without a name above', { 'golfers.csv': 'golfer_id,plays,\nG01,right,7\n' }, 'missing-column'],
    ['a reserved name', { 'golfers.csv': 'golfer_id,plays,__proto__\nG01,right,7\n' }, 'unknown-column'],
    ['an empty file', { 'golfers.csv': '' }, 'empty-file'],
    ['semicolons', { 'golfers.csv': 'golfer_id;plays\nG01;right\n' }, 'unreadable-file'],
  ])('with %s are refused, and nothing is written', async (_what, files, kind) => {
    await inTempFolder(async (folder) => {
      await writeFiles(join(folder, 'csv'), { ...ROSTER, ...files });
      const packed = await packDataset(join(folder, 'csv'), join(folder, 'packed'));
      expect(packed.valid).toBe(false);
      expect(packed.problems.map((problem) => problem.kind)).toContain(kind);
      const loaded = await loadDataset(join(folder, 'csv'));
      for (const problem of packed.problems) expect(loaded.problems).toContainEqual(problem);
      expect(Object.keys(await bytesUnder(folder)).filter((path) => !path.startsWith('csv/'))).toEqual([]);
    });
  });
});
