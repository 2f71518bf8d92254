import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { sha256Hex } from '../../../src/dataset/index.ts';
import {
  CAPTURE_SETTINGS,
  type SwingToCapture,
  writeCaptures,
} from '../../../src/synthetic/captures/index.ts';
import { snapshot } from '../../cli/harness.ts';
import { someSwings } from './some-swings.ts';

const folders: string[] = [];
afterAll(() => Promise.all(folders.map((folder) => rm(folder, { recursive: true }))));

async function written(swings: readonly SwingToCapture[], workers: number, seed = 11) {
  const folder = await mkdtemp(join(tmpdir(), 'captures-'));
  folders.push(folder);
  const results = await writeCaptures(folder, swings, { settings: CAPTURE_SETTINGS, seed, workers });
  return { folder, results, files: await snapshot(folder) };
}

const nameless = (files: Record<string, string>) =>
  Object.entries(files).map(([path, text]): [string, string] => [path.split('/').at(-1)!, text]);

// Each thread loads the package anew, which takes seconds on a busy machine.
const PATIENCE_MS = 180_000;

describe('captures written by threads', { timeout: PATIENCE_MS }, () => {
  it('are the same bytes with one, two and three of them, and in any order of the swings', async () => {
    const swings = someSwings(17);
    const one = await written(swings, 1);
    const all = nameless(one.files).sort(([a], [b]) => (a < b ? -1 : 1));
    expect(all).toHaveLength(2 * 17 + 2);
    for (const workers of [2, 3]) {
      const again = await written(workers === 2 ? swings : [...swings].reverse(), workers);
      expect(nameless(again.files).sort(([a], [b]) => (a < b ? -1 : 1))).toEqual(all);
    }
    const other = await written(swings.slice(0, 1), 1, 12);
    expect(nameless(other.files)[0]).not.toEqual(all.find(([name]) => name === 'W1.c3d'));
    for (const result of one.results) {
      if ('fault' in result) throw new Error(result.fault);
      const bytes = await readFile(join(one.folder, `${result.swing_id}.c3d`));
      expect(result.sha256).toBe(sha256Hex(bytes));
      expect(result.bytes).toBe(bytes.length);
    }
  });

  it('a swing that cannot be swung comes back with words and leaves no file', async () => {
    const [good] = someSwings(1);
    const bad = { ...good!, swing_id: 'B1', body: { ...good!.body, ballAhead_m: 9 } };
    const { results, files } = await written([good!, bad], 2);
    expect(results[1]).toMatchObject({ swing_id: 'B1', fault: expect.stringMatching(/\w/) });
    expect(Object.keys(files).some((path) => path.includes('B1'))).toBe(false);
  });

  it('an id that is no file name, or comes twice, is refused before anything is written', async () => {
    const [swing] = someSwings(1);
    for (const ids of [['../out'], ['a/b'], [''], ['W1', 'w1']])
      await expect(
        written(
          ids.map((swing_id) => ({ ...swing!, swing_id })),
          1,
        ),
      ).rejects.toThrow(/writeCaptures: the id/);
  });
});
