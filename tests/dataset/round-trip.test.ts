import { readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type Dataset,
  datasetFromRows,
  loadDataset,
  TABLE_NAMES,
  writeDataset,
} from '../../src/dataset/index.ts';
import { anyRows } from './any-rows.ts';
import { inTempFolder, loadFiles, ROSTER } from './roster.ts';

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
      fc.asyncProperty(anyRows, async (input) => {
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
