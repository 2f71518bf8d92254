/** What a process that was killed leaves beside a folder is cleared up by the next command, and never what another is at. */
import { mkdir, readdir, readFile, writeFile } from 'node:fs/promises';
import { hostname } from 'node:os';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { loadDataset, packDataset, writeNewFolder } from '../../src/dataset/index.ts';
import { inTempFolder, ROSTER } from './roster.ts';
import { writeFiles } from './store/folders.ts';

// No process has this number: Linux counts to 2^22.
const DEAD = JSON.stringify({ pid: 2 ** 30, started: '1', host: hostname() });
const ELSEWHERE = JSON.stringify({ pid: 1, started: null, host: 'elsewhere' });

it('reading a dataset takes away the lock and the unfinished folder of an import that was killed', async () => {
  await inTempFolder(async (root) => {
    await writeFiles(join(root, 'data'), ROSTER);
    await writeFile(join(root, '.data.lock'), DEAD);
    await mkdir(join(root, '.data.making-0123456789ab'));
    await writeFile(join(root, '.data.making-0123456789ab', 'swings.csv'), 'half');
    expect((await loadDataset(join(root, 'data'))).valid).toBe(true);
    expect(await readdir(root)).toEqual(['data']);
  });
});

it('reading leaves what another machine is at, and reads the dataset as it stands', async () => {
  await inTempFolder(async (root) => {
    await writeFiles(join(root, 'data'), ROSTER);
    await writeFile(join(root, '.data.lock'), ELSEWHERE);
    await mkdir(join(root, '.data.making-0123456789ab'));
    expect((await loadDataset(join(root, 'data'))).valid).toBe(true);
    expect((await readdir(root)).sort()).toEqual(['.data.lock', '.data.making-0123456789ab', 'data']);
  });
});

it('packing takes away the half of a pack that was killed, and leaves that of another', async () => {
  await inTempFolder(async (root) => {
    await writeFiles(join(root, 'data'), ROSTER);
    const [dead, other] = ['.out.partial-0123456789ab', '.out.partial-ba9876543210'];
    for (const [name, mark] of [
      [dead, DEAD],
      [other, ELSEWHERE],
    ] as const) {
      await mkdir(join(root, name));
      await writeFile(join(root, name, 'swings.parquet'), 'half');
      await writeFile(join(root, `${name}.lock`), mark);
    }
    expect((await packDataset(join(root, 'data'), join(root, 'out'))).problems).toEqual([]);
    expect((await readdir(root)).sort()).toEqual([other, `${other}.lock`, 'data', 'out']);
  });
});

it('a folder of files leaves no lock, whether it is written or refused', async () => {
  await inTempFolder(async (root) => {
    await writeNewFolder(join(root, 'out'), { 'a.txt': 'a' });
    await expect(writeNewFolder(join(root, 'out'), { 'a.txt': 'b' })).rejects.toThrow('is not empty');
    expect(await readdir(root)).toEqual(['out']);
    expect(await readFile(join(root, 'out', 'a.txt'), 'utf8')).toBe('a');
  });
});
