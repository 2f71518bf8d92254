import { readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type Dataset,
  datasetFromRows,
  loadDataset,
  type RowsInput,
  TABLE_NAMES,
  writeDataset,
} from '../../src/dataset/index.ts';
import { metricCatalogue } from '../../src/kinematics/index.ts';
import { inTempFolder, loadFiles, ROSTER } from './roster.ts';

/** Texts with everything that CSV and UTF-8 can trip over, and nothing that a check calls an error. */
const word = fc.oneof(
  fc.constantFrom(
    'a,b',
    'say "x"',
    '"',
    '""',
    ',',
    'x\ny',
    'x\r\ny',
    'x\ry',
    'ä€𝄞',
    ' lead',
    'tail ',
    "'",
    ';',
    '0012',
    '=1+1',
    'true',
    'NaN',
    '-0',
  ),
  fc
    .string({ unit: 'grapheme', minLength: 1, maxLength: 20 })
    .filter((text) => !/[\p{Cc}\p{Cs}]/u.test(text)),
);
const optional = <T>(value: fc.Arbitrary<T>) => fc.option(value, { nil: null });
const date = fc
  .date({ min: new Date('1990-01-01'), max: new Date('2100-12-31'), noInvalidDate: true })
  .map((day) => day.toISOString().slice(0, 10));

const metrics = fc.record(
  Object.fromEntries(
    metricCatalogue.flatMap((metric): [string, fc.Arbitrary<unknown>][] => {
      if (metric.kind === 'yes-no') return [[metric.column, optional(fc.boolean())]];
      const [min, max] = metric.plausible;
      if (metric.kind === 'ordinal') return [[metric.column, optional(fc.integer({ min, max }))]];
      return [
        [metric.column, optional(fc.double({ min, max, noNaN: true }))],
        [`${metric.column}_sd`, optional(fc.double({ min: 0, max: 1e300, noNaN: true }))],
      ];
    }),
  ),
  { requiredKeys: [] },
);

const rows = fc
  .tuple(
    fc.uniqueArray(fc.nat(999), { minLength: 1, maxLength: 5 }),
    fc.array(fc.tuple(fc.nat(), date, fc.constantFrom('baseline', 'post'), optional(word)), {
      minLength: 1,
      maxLength: 6,
    }),
    fc.array(fc.tuple(fc.nat(), fc.constantFrom('full', 'drill'), optional(word), metrics), {
      minLength: 1,
      maxLength: 12,
    }),
    fc.array(fc.tuple(fc.nat(), date, optional(word), optional(fc.integer({ min: 0, max: 900 }))), {
      maxLength: 5,
    }),
  )
  .map(([ids, sessions, swings, practice]) => {
    const golfer = (pick: number) => `G-${ids[pick % ids.length]}`;
    return {
      golfers: ids.map((id, index) => ({
        golfer_id: `G-${id}`,
        plays: index % 2 ? 'left' : 'right',
        handicap_index: index ? -1.25 : null,
      })),
      sessions: sessions.map(([pick, day, phase, device], index) => ({
        session_id: `S${index}`,
        golfer_id: golfer(pick),
        date: day,
        phase,
        device,
      })),
      swings: swings.map(([pick, task, club, values], index) => ({
        swing_id: `W${index}`,
        session_id: `S${pick % sessions.length}`,
        order_in_session: index + 1,
        task,
        club,
        ...values,
      })),
      practice: practice.map(([pick, day, drill, reps]) => ({
        golfer_id: golfer(pick),
        date: day,
        drill,
        reps,
      })),
    } as unknown as RowsInput;
  });

/** Everything a dataset holds, but for the hashes of the files it came from. */
function content(dataset: Dataset) {
  return {
    given: dataset.given,
    newestDate: dataset.newestDate,
    tables: TABLE_NAMES.map((name) => ({
      name,
      columns: dataset.tables[name].columnNames,
      rows: [...dataset.tables[name].rows()],
    })),
  };
}

/** Columns said to look like another unit: random values cannot be kept from looking so. */
const WHOLE_COLUMN = (problem: { kind: string; row: number | null }) =>
  problem.kind === 'suspect-unit' && problem.row === null;

describe('write, then read', () => {
  it('is the identity for any valid dataset', async () => {
    let tried = 0;
    await fc.assert(
      fc.asyncProperty(rows, async (input) => {
        const made = datasetFromRows(input);
        const errors = made.problems.filter(({ severity }) => severity === 'error');
        // A dataset is valid, or it is not because of what a whole column looks like.
        expect(errors.filter((problem) => !WHOLE_COLUMN(problem))).toEqual([]);
        if (!made.valid) return;
        tried += 1;
        await inTempFolder(async (folder) => {
          await writeDataset(join(folder, 'out'), made.value);
          const read = await loadDataset(join(folder, 'out'));
          if (!read.valid) throw new Error(JSON.stringify(read.problems));
          expect(content(read.value)).toEqual(content(made.value));
          expect(read.problems.map(({ kind, table, column }) => [kind, table, column])).toEqual(
            made.problems.map(({ kind, table, column }) => [kind, table, column]),
          );
        });
      }),
      { numRuns: 150, seed: 20260304 },
    );
    expect(tried).toBeGreaterThan(50);
  });

  it('keeps columns of its own, and the sign of a zero', async () => {
    const loaded = await loadFiles({
      ...ROSTER,
      'swings.csv':
        'note,swing_id,session_id,order_in_session,task,attack_angle_deg\n"a, ""b""\nc",W1,S1,1,full,-0\n',
    });
    if (!loaded.valid) throw new Error(JSON.stringify(loaded.problems));
    await inTempFolder(async (folder) => {
      await writeDataset(join(folder, 'out'), loaded.value);
      const again = await loadDataset(join(folder, 'out'));
      if (!again.valid) throw new Error(JSON.stringify(again.problems));
      expect(again.value.tables.swings.text('note')).toEqual(['a, "b"\nc']);
      expect(again.value.tables.swings.numbers('attack_angle_deg')[0]).toBe(-0);
      expect(again.value.tables.swings.columnNames).toEqual([
        'swing_id',
        'session_id',
        'order_in_session',
        'task',
        'attack_angle_deg',
        'note',
      ]);
    });
  });
});

describe('writeDataset', () => {
  const roster = async () => {
    const loaded = await loadFiles(ROSTER);
    if (!loaded.valid) throw new Error('the roster must be valid');
    return loaded.value;
  };

  it('writes the tables it was given, the descriptor and the files it is asked for', async () => {
    await inTempFolder(async (folder) => {
      await writeDataset(join(folder, 'out'), await roster(), {
        title: 'Invented',
        files: { 'truth.json': '{}' },
      });
      expect((await readdir(join(folder, 'out'))).sort()).toEqual([
        'datapackage.json',
        'golfers.csv',
        'sessions.csv',
        'swings.csv',
        'truth.json',
      ]);
      expect(await readFile(join(folder, 'out', 'sessions.csv'), 'utf8')).toBe(ROSTER['sessions.csv']);
      const read = await loadDataset(join(folder, 'out'));
      expect(read.valid && read.value.title).toBe('Invented');
    });
  });

  it('writes the same bytes for the same data', async () => {
    const read = async (folder: string) =>
      Promise.all(
        (await readdir(folder))
          .sort()
          .map(async (file) => [file, await readFile(join(folder, file), 'utf8')]),
      );
    await inTempFolder(async (folder) => {
      await writeDataset(join(folder, 'a'), await roster());
      await writeDataset(join(folder, 'b'), await roster());
      expect(await read(join(folder, 'a'))).toEqual(await read(join(folder, 'b')));
    });
  });

  it('leaves a folder that holds something as it is', async () => {
    await inTempFolder(async (folder) => {
      const dataset = await roster();
      await writeDataset(join(folder, 'out'), dataset);
      const before = await readFile(join(folder, 'out', 'golfers.csv'), 'utf8');
      await expect(writeDataset(join(folder, 'out'), dataset, { title: 'other' })).rejects.toThrow(
        /exists already and is not empty/,
      );
      expect(await readFile(join(folder, 'out', 'golfers.csv'), 'utf8')).toBe(before);
      expect(await readdir(folder)).toEqual(['out']);
    });
  });
});
