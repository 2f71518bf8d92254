import { readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { afterEach, describe, expect, it, vi } from 'vitest';
import {
  datasetFromRows,
  loadDataset,
  type Shared,
  shareDataset,
  writeDataset,
} from '../../../src/dataset/index.ts';
import { inTempFolder } from '../roster.ts';
import { roster } from './share-roster.ts';

/** The place a folder is not renamed to, as if the disk were taken away at that moment. */
const failing: { to: string | null } = vi.hoisted(() => ({ to: null }));

vi.mock('node:fs/promises', async (original) => {
  const real = await original<typeof import('node:fs/promises')>();
  return {
    ...real,
    rename: async (from: string, to: string) => {
      if (to === failing.to) throw Object.assign(new Error(`EIO: rename '${to}'`), { code: 'EIO' });
      return real.rename(from, to);
    },
  };
});

afterEach(() => {
  failing.to = null;
});

async function shared(root: string, name: string): Promise<Shared> {
  const made = await shareDataset({ folder: join(root, 'roster'), out: join(root, name), scope: 'share' });
  if (!made.valid) throw new Error(JSON.stringify(made.problems));
  return made.value;
}

async function writeRoster(root: string): Promise<void> {
  const made = datasetFromRows(roster());
  if (!made.valid) throw new Error(JSON.stringify(made.problems));
  await writeDataset(join(root, 'roster'), made.value);
}

const memoryOf = (root: string): Promise<string> =>
  readFile(join(root, 'roster', '.shares.jsonl'), 'utf8').catch(() => '');

describe('an export that is interrupted', () => {
  it('is remembered before it stands, and the next one knows of it', async () => {
    await inTempFolder(async (root) => {
      await writeRoster(root);
      failing.to = join(root, 'first');
      await expect(shared(root, 'first')).rejects.toThrow('EIO');
      expect(await readdir(root)).toEqual(['roster']);
      expect(await memoryOf(root)).toContain('{"share":1,"scope":"share"');
      failing.to = null;
      const second = await shared(root, 'second');
      expect(second.earlier).toBe(1);
      expect((await loadDataset(join(root, 'second'))).valid).toBe(true);
    });
  });

  it('does not stand where it could not be remembered', async () => {
    await inTempFolder(async (root) => {
      await writeRoster(root);
      for (const place of [
        join(root, '.roster.next'),
        join(root, '.roster.previous'),
        join(root, 'roster'),
      ]) {
        failing.to = place;
        await expect(shared(root, 'deep/first')).rejects.toThrow('EIO');
        expect([place, await readdir(root)]).not.toEqual([place, expect.arrayContaining(['deep'])]);
        failing.to = null;
        // Also where the roster is away for a moment: it comes back by the next look at it.
        expect((await loadDataset(join(root, 'roster'))).valid).toBe(true);
      }
      expect(await readdir(root)).toEqual(['roster']);
    });
  });
});
