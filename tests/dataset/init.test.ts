import { readdir, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import {
  dictionaryPage,
  initDataset,
  loadDataset,
  TABLE_NAMES,
  tableSchema,
} from '../../src/dataset/index.ts';
import { metricCatalogue } from '../../src/kinematics/index.ts';
import { inTempFolder } from './roster.ts';

describe('initDataset', () => {
  it('writes a header for each table and no row, a descriptor, a dictionary and a note', async () => {
    await inTempFolder(async (folder) => {
      await initDataset(join(folder, 'mine'));
      const files = await readdir(join(folder, 'mine'));
      expect(files.sort()).toEqual(
        [
          'README.md',
          ...TABLE_NAMES.map((name) => `${name}.csv`),
          'datapackage.json',
          'dictionary.html',
        ].sort(),
      );
      for (const name of TABLE_NAMES)
        expect((await readFile(join(folder, 'mine', `${name}.csv`), 'utf8')).split('\n')).toHaveLength(2);
    });
  });

  it('writes what check understands: only rows are wanted', async () => {
    await inTempFolder(async (folder) => {
      await initDataset(join(folder, 'mine'));
      const loaded = await loadDataset(join(folder, 'mine'));
      expect(loaded.problems.map(({ kind, table, found }) => [kind, table, found])).toEqual([
        ['empty-file', 'golfers', 'a header and no rows'],
        ['empty-file', 'sessions', 'a header and no rows'],
        ['empty-file', 'swings', 'a header and no rows'],
      ]);
    });
  });

  it('is a valid dataset once the examples of the dictionary are typed in', async () => {
    await inTempFolder(async (folder) => {
      const mine = join(folder, 'mine');
      await initDataset(mine);
      for (const name of TABLE_NAMES) {
        const header = (await readFile(join(mine, `${name}.csv`), 'utf8')).trim().split(',');
        const examples = new Map(tableSchema(name).fields.map((field) => [field.name, field.example ?? '']));
        await writeFile(
          join(mine, `${name}.csv`),
          `${header.join(',')}\n${header.map((column) => examples.get(column)).join(',')}\n`,
        );
      }
      const loaded = await loadDataset(mine);
      expect(loaded.problems).toEqual([]);
      expect(loaded.valid && loaded.value.tables.swings.row(0).ground_first).toBe(true);
    });
  });

  it('leaves a folder that holds something as it is', async () => {
    await inTempFolder(async (folder) => {
      await writeFile(join(folder, 'golfers.csv'), 'mine');
      await expect(initDataset(folder)).rejects.toThrow(
        /exists already and is not empty; it was left as it is/,
      );
      expect(await readdir(folder)).toEqual(['golfers.csv']);
      expect(await readFile(join(folder, 'golfers.csv'), 'utf8')).toBe('mine');
    });
  });
});

describe('the data dictionary', () => {
  const page = dictionaryPage();

  it('has every column, with the sign, the example and the confusions of each metric', () => {
    for (const name of TABLE_NAMES)
      for (const field of tableSchema(name).fields)
        if (!field.name.endsWith('_sd'))
          expect(page).toContain(`<code>${field.name.replaceAll('_', '_<wbr>')}</code>`);
    for (const metric of metricCatalogue) {
      expect(page).toContain(metric.sign);
      expect(page).toContain(metric.confusedWith[0]);
    }
  });

  it('needs no network and runs no script', () => {
    expect(page).not.toMatch(/<script|<link|<img|src=|url\(|https?:/i);
  });
});
