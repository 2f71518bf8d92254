/** A table that datapackage.json names and whose file is not there: check, pack, unpack and queries say the same of it. */
import { readFile, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import {
  loadDataset,
  type Problem,
  packDataset,
  queryDataset,
  unpackDataset,
} from '../../../src/dataset/index.ts';
import { fullFolder, writeFiles } from '../privacy/full-folder.ts';
import { inTempFolder } from '../roster.ts';

const NAMED = ['golfers', 'sessions', 'swings', 'practice', 'captures'] as const;

/** A folder whose descriptor names every table it has, without the file of one. */
async function without(table: string, work: (folder: string, root: string) => Promise<void>): Promise<void> {
  await inTempFolder(async (root) => {
    const folder = join(root, 'data');
    await writeFiles(folder, fullFolder());
    const resources = NAMED.map((name) => ({ name, path: `${name}.csv` }));
    await writeFile(join(folder, 'datapackage.json'), JSON.stringify({ resources }));
    await rm(join(folder, `${table}.csv`));
    await work(folder, root);
  });
}

const absent = (problems: readonly Problem[]) => problems.filter(({ kind }) => kind === 'missing-file');

describe('a table that is named and absent', () => {
  it('is a warning of the same words everywhere, and a table without rows, where no question needs it', async () => {
    await without('practice', async (folder, root) => {
      const [packed, again] = [join(root, 'packed'), join(root, 'again')];
      const loaded = await loadDataset(folder);
      const asked = await queryDataset(folder, 'SELECT count(reps) AS n FROM practice');
      const made = await packDataset(folder, packed);
      const back = await unpackDataset(packed, again);
      expect([loaded.valid, asked.valid, made.valid, back.valid]).toEqual([true, true, true, true]);
      const [warning] = absent(loaded.problems);
      expect([warning?.severity, warning?.found]).toEqual(['warning', 'no practice.csv']);
      expect(warning?.remedy).toContain('take practice out of datapackage.json');
      for (const one of [asked, made, await loadDataset(packed)])
        expect(absent(one.problems)).toEqual([warning]);
      expect(asked.valid && asked.value.columns.n).toEqual(Float64Array.of(0));
      const names = async (at: string) =>
        (
          JSON.parse(await readFile(join(at, 'datapackage.json'), 'utf8')) as {
            resources: { name: string }[];
          }
        ).resources.map(({ name }) => name);
      // What the descriptor says of it is kept through both.
      expect(await names(again)).toEqual([...NAMED]);
    });
  });

  it('is the same where it was packed, and lost rows are an error', async () => {
    await inTempFolder(async (root) => {
      const [folder, packed] = [join(root, 'data'), join(root, 'packed')];
      await writeFiles(folder, fullFolder());
      expect((await packDataset(folder, packed)).valid).toBe(true);
      await rm(join(packed, 'practice.parquet'));
      for (const one of [
        await loadDataset(packed),
        await queryDataset(packed, 'SELECT count(*) AS n FROM practice'),
        await unpackDataset(packed, join(root, 'again')),
      ]) {
        expect(one.valid).toBe(true);
        expect(absent(one.problems).map(({ found, severity }) => [found, severity])).toEqual([
          ['no practice.parquet', 'warning'],
        ]);
      }
      await rm(join(packed, 'swings.parquet'));
      expect((await loadDataset(packed)).valid).toBe(false);
      expect((await queryDataset(packed, 'SELECT 1 AS one')).valid).toBe(false);
    });
  });

  it('is an error everywhere, and nothing is written, where every question needs it', async () => {
    await without('swings', async (folder, root) => {
      for (const one of [
        await loadDataset(folder),
        await queryDataset(folder, 'SELECT 1 AS one'),
        await packDataset(folder, join(root, 'packed')),
      ]) {
        expect(one.valid).toBe(false);
        expect(absent(one.problems).map(({ found, severity }) => [found, severity])).toEqual([
          ['no swings.csv', 'error'],
        ]);
      }
      await expect(readFile(join(root, 'packed', 'datapackage.json'))).rejects.toThrow('ENOENT');
    });
  });

  it('is an error everywhere where a file of its name lies elsewhere: its rows would be passed over', async () => {
    await without('captures', async (folder, root) => {
      const resources = NAMED.map((name) => ({
        name,
        path: name === 'practice' ? 'old/practice.csv' : `${name}.csv`,
      }));
      await writeFile(join(folder, 'datapackage.json'), JSON.stringify({ resources }));
      for (const one of [
        await loadDataset(folder),
        await queryDataset(folder, 'SELECT 1 AS one'),
        await packDataset(folder, join(root, 'packed')),
      ])
        expect(absent(one.problems).map(({ table, severity }) => [table, severity])).toEqual([
          ['practice', 'error'],
          ['captures', 'warning'],
        ]);
    });
  });
});
