import { chmod, lstat, mkdir, readdir, readFile, rename, symlink, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  FolderChangedError,
  FolderInUseError,
  FolderUnsettledError,
  replaceFolder,
  settleFolder,
} from '../../src/dataset/index.ts';
import { bundledChild, killedAfter } from './killed-child.ts';
import { inTempFolder } from './roster.ts';

const put = (content: string) => async (made: Parameters<Parameters<typeof replaceFolder>[1]>[0]) => {
  await made.put('a.txt', content);
  return 'replace' as const;
};

describe('replaceFolder', () => {
  it('makes a folder, replaces it whole, and leaves nothing beside it', async () => {
    await inTempFolder(async (root) => {
      const folder = join(root, 'deep', 'data');
      expect(await replaceFolder(folder, put('one'))).toBe('replaced');
      await writeFile(join(folder, 'gone.txt'), 'x');
      expect(await replaceFolder(folder, put('two'))).toBe('replaced');
      expect(await readdir(folder)).toEqual(['a.txt']);
      expect(await readFile(join(folder, 'a.txt'), 'utf8')).toBe('two');
      expect(await readdir(join(root, 'deep'))).toEqual(['data']);
    });
  });

  it('takes over files, links and empty folders that it was not given', async () => {
    await inTempFolder(async (root) => {
      const folder = join(root, 'data');
      await mkdir(join(folder, 'sub', 'empty'), { recursive: true });
      await writeFile(join(folder, 'a.txt'), 'old');
      await writeFile(join(folder, 'sub', 'b.txt'), 'b');
      await writeFile(join(folder, 'left-out.txt'), 'c');
      await symlink('a.txt', join(folder, 'link'));
      await chmod(folder, 0o750);
      let kept: readonly string[] = [];
      await replaceFolder(folder, async (made) => {
        await made.put('a.txt', 'new');
        kept = await made.keepOthers(new Set(['left-out.txt']));
        return 'replace';
      });
      expect(kept).toEqual(['link', 'sub/b.txt', 'sub/empty/']);
      expect(await readFile(join(folder, 'link'), 'utf8')).toBe('new');
      expect(await readdir(join(folder, 'sub'))).toEqual(['b.txt', 'empty']);
      expect((await lstat(folder)).mode & 0o777).toBe(0o750);
    });
  });

  it('leaves the folder untouched when told to, and when the work fails', async () => {
    await inTempFolder(async (root) => {
      const folder = join(root, 'data');
      await replaceFolder(folder, put('one'));
      const { ino } = await lstat(folder);
      expect(await replaceFolder(folder, async () => 'leave')).toBe('left');
      const fails = replaceFolder(folder, async (made) => {
        await made.put('a.txt', 'half');
        throw new Error('stop');
      });
      await expect(fails).rejects.toThrow('stop');
      expect((await lstat(folder)).ino).toBe(ino);
      expect(await readdir(root)).toEqual(['data']);
    });
  });

  it.each(['../outside.txt', '/outside.txt', 'a/../../outside.txt', ''])(
    'refuses the path %j',
    async (path) => {
      await inTempFolder(async (root) => {
        const bad = replaceFolder(join(root, 'data'), async (made) => {
          await made.put(path, 'x');
          return 'replace';
        });
        await expect(bad).rejects.toThrow('leads out of the folder');
        expect(await readdir(root)).toEqual([]);
      });
    },
  );

  it('writes nothing over what somebody changed meanwhile', async () => {
    await inTempFolder(async (root) => {
      const folder = join(root, 'data');
      await replaceFolder(folder, put('one'));
      for (const meddle of [
        () => writeFile(join(folder, 'a.txt'), 'edited'),
        () => writeFile(join(folder, 'new.txt'), 'added'),
      ]) {
        const replaced = replaceFolder(folder, async (made) => {
          await meddle();
          return put('two')(made);
        });
        await expect(replaced).rejects.toBeInstanceOf(FolderChangedError);
      }
      expect(await readFile(join(folder, 'a.txt'), 'utf8')).toBe('edited');
      expect(await readdir(root)).toEqual(['data']);
    });
  });

  it('lets one of two at once write, and takes over the lock of the dead', async () => {
    await inTempFolder(async (root) => {
      const folder = join(root, 'data');
      await replaceFolder(folder, async (made) => {
        await expect(replaceFolder(folder, put('other'))).rejects.toBeInstanceOf(FolderInUseError);
        return put('one')(made);
      });
      expect(await readFile(join(folder, 'a.txt'), 'utf8')).toBe('one');
      // No process has this number: Linux counts to 2^22.
      await writeFile(
        join(root, '.data.lock'),
        JSON.stringify({ pid: 2 ** 30, started: '1', host: (await import('node:os')).hostname() }),
      );
      expect(await replaceFolder(folder, put('two'))).toBe('replaced');
      await writeFile(join(root, '.data.lock'), JSON.stringify({ pid: 1, started: null, host: 'elsewhere' }));
      await expect(replaceFolder(folder, put('three'))).rejects.toBeInstanceOf(FolderInUseError);
      expect(await readFile(join(folder, 'a.txt'), 'utf8')).toBe('two');
    });
  });

  it('replaces the folder behind a link, and the link stays', async () => {
    await inTempFolder(async (root) => {
      await replaceFolder(join(root, 'real'), put('one'));
      await symlink('real', join(root, 'link'));
      await replaceFolder(join(root, 'link'), put('two'));
      expect((await lstat(join(root, 'link'))).isSymbolicLink()).toBe(true);
      expect(await readFile(join(root, 'real', 'a.txt'), 'utf8')).toBe('two');
      await rename(join(root, 'real'), join(root, '.real.previous'));
      await settleFolder(join(root, 'link'));
      expect(await readFile(join(root, 'link', 'a.txt'), 'utf8')).toBe('two');
    });
  });
});

/** Each row of the rule: what stands there, and what must be there afterwards. */
describe('settleFolder', () => {
  it.each([
    { data: 'old', previous: null, next: 'new', after: 'old' },
    { data: null, previous: 'old', next: 'new', after: 'new' },
    { data: 'new', previous: 'old', next: null, after: 'new' },
    { data: null, previous: 'old', next: null, after: 'old' },
    { data: null, previous: null, next: 'new', after: null },
    { data: 'old', previous: null, next: null, after: 'old' },
  ])('ends $data / $previous / $next with $after', async ({ data, previous, next, after }) => {
    await inTempFolder(async (root) => {
      const make = async (name: string, content: string | null) => {
        if (content === null) return;
        await mkdir(join(root, name));
        await writeFile(join(root, name, 'a.txt'), content);
      };
      await make('data', data);
      await make('.data.previous', previous);
      await make('.data.next', next);
      await settleFolder(join(root, 'data'));
      expect(await readdir(root)).toEqual(after === null ? [] : ['data']);
      if (after !== null) expect(await readFile(join(root, 'data', 'a.txt'), 'utf8')).toBe(after);
    });
  });

  it('touches nothing where somebody put something in the place of the folder', async () => {
    await inTempFolder(async (root) => {
      for (const name of ['data', '.data.previous', '.data.next']) await mkdir(join(root, name));
      await expect(settleFolder(join(root, 'data'))).rejects.toBeInstanceOf(FolderUnsettledError);
      expect(await readdir(root)).toEqual(['.data.next', '.data.previous', 'data']);
    });
  });
});

describe('a process that is killed while it replaces', () => {
  it('leaves the old folder or the new one, 30 times', { timeout: 60_000 }, async () => {
    await inTempFolder(async (root) => {
      const child = await bundledChild(join(import.meta.dirname, 'replace-folder-child.ts'), root);
      const folder = join(root, 'data');
      await replaceFolder(folder, async (made) => {
        for (let file = 0; file < 4; file += 1)
          await made.put(`part/${file % 2}/${file}.txt`, '0\n'.repeat(50));
        await made.put('kept.txt', 'kept');
        return 'replace';
      });
      const moments = fc.sample(fc.integer({ min: 0, max: 120 }), { numRuns: 30, seed: 8 });
      let round = 0;
      for (const wait of moments) {
        await killedAfter(wait, child, [folder, `${round + 1}`]);
        await settleFolder(folder);
        const rounds = new Set<string>();
        for (let file = 0; file < 4; file += 1) {
          const text = await readFile(join(folder, 'part', `${file % 2}`, `${file}.txt`), 'utf8');
          for (const line of text.trimEnd().split('\n')) rounds.add(line);
          expect(text.trimEnd().split('\n')).toHaveLength(50);
        }
        expect(rounds.size).toBe(1);
        expect(await readFile(join(folder, 'kept.txt'), 'utf8')).toBe('kept');
        const now = Number([...rounds][0]);
        expect(now).toBeGreaterThanOrEqual(round);
        round = now;
      }
      expect(round).toBeGreaterThan(0);
    });
  });
});
