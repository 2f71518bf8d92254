import { mkdir, readdir, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { AlreadyThereError, writeNewFile, writeNewFolder } from '../../src/dataset/index.ts';
import { inTempFolder } from './roster.ts';

describe('writeNewFile', () => {
  it('writes bytes and makes the folders above', async () => {
    await inTempFolder(async (folder) => {
      await writeNewFile(join(folder, 'a', 'b', 'c.bin'), Uint8Array.of(1, 2, 3));
      expect([...(await readFile(join(folder, 'a', 'b', 'c.bin')))]).toEqual([1, 2, 3]);
      expect(await readdir(join(folder, 'a', 'b'))).toEqual(['c.bin']);
    });
  });

  it('never overwrites, and leaves nothing behind', async () => {
    await inTempFolder(async (folder) => {
      await writeFile(join(folder, 'kept.json'), 'old');
      await expect(writeNewFile(join(folder, 'kept.json'), 'new')).rejects.toBeInstanceOf(AlreadyThereError);
      expect(await readFile(join(folder, 'kept.json'), 'utf8')).toBe('old');
      expect(await readdir(folder)).toEqual(['kept.json']);
    });
  });

  it('lets one of twenty writers at once win, whole', async () => {
    await inTempFolder(async (folder) => {
      const writers = Array.from({ length: 20 }, (_, index) =>
        writeNewFile(join(folder, 'one.txt'), `${index}`.repeat(10_000)),
      );
      const outcomes = await Promise.allSettled(writers);
      const winner = outcomes.findIndex(({ status }) => status === 'fulfilled');
      expect(outcomes.filter(({ status }) => status === 'fulfilled')).toHaveLength(1);
      expect(await readFile(join(folder, 'one.txt'), 'utf8')).toBe(`${winner}`.repeat(10_000));
      expect(await readdir(folder)).toEqual(['one.txt']);
    });
  });
});

describe('writeNewFolder', () => {
  it('may fill an empty folder', async () => {
    await inTempFolder(async (folder) => {
      await mkdir(join(folder, 'out'));
      await writeNewFolder(join(folder, 'out'), { 'a.txt': 'a', 'sub/b.txt': 'b' });
      expect(await readFile(join(folder, 'out', 'sub', 'b.txt'), 'utf8')).toBe('b');
    });
  });

  it.each(['../outside.txt', '/outside.txt', 'a/../../outside.txt', ''])(
    'refuses the path %j and writes nothing',
    async (path) => {
      await inTempFolder(async (folder) => {
        await expect(writeNewFolder(join(folder, 'out'), { 'a.txt': 'a', [path]: 'x' })).rejects.toThrow(
          /leads out of the folder/,
        );
        expect(await readdir(folder)).toEqual([]);
      });
    },
  );

  it('refuses where a file stands', async () => {
    await inTempFolder(async (folder) => {
      await writeFile(join(folder, 'out'), 'a file');
      await expect(writeNewFolder(join(folder, 'out'), { 'a.txt': 'a' })).rejects.toBeInstanceOf(
        AlreadyThereError,
      );
      expect(await readFile(join(folder, 'out'), 'utf8')).toBe('a file');
    });
  });

  it('lets one of ten writers at once win, whole', async () => {
    await inTempFolder(async (folder) => {
      const outcomes = await Promise.allSettled(
        Array.from({ length: 10 }, (_, index) =>
          writeNewFolder(join(folder, 'out'), { 'a.txt': `${index}`, 'b.txt': `${index}` }),
        ),
      );
      const winner = outcomes.findIndex(({ status }) => status === 'fulfilled');
      expect(outcomes.filter(({ status }) => status === 'fulfilled')).toHaveLength(1);
      expect(await readFile(join(folder, 'out', 'a.txt'), 'utf8')).toBe(`${winner}`);
      expect(await readFile(join(folder, 'out', 'b.txt'), 'utf8')).toBe(`${winner}`);
      expect(await readdir(folder)).toEqual(['out']);
    });
  });
});
