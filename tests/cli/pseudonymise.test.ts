import { mkdir, readdir, readFile, stat, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { importedFolder } from '../dataset/privacy/imported-folder.ts';
import { newFolder, snapshot, trialRows, type, untidy, writeRows } from './harness.ts';

const trial = (): Promise<string> =>
  writeRows(trialRows({ golfersPerArm: 2, swingsPerSession: 2, arms: ['drill', 'control'], value: untidy }));

describe('pseudonymise', () => {
  it('says what it wrote, that a key was made and how to keep it, and what it left behind', async () => {
    const data = await importedFolder(dirname(await newFolder()));
    const [out, key] = [join(data, '..', 'coded'), join(data, '..', 'roster.key')];
    const { exit, out: said, err } = await type('pseudonymise', data, '--key', key, '--out', out);
    expect(exit).toBe(0);
    expect(said.replaceAll(dirname(data), 'HERE')).toMatchInlineSnapshot(`
      "Wrote 3 golfers, 6 sessions, 13 swings and 0 captures under pseudonyms to HERE/coded.
      HERE/data is as it was, with the old ids: keep it apart, or remove it once you have looked at the new one.
      "
    `);
    expect(
      err.replaceAll(dirname(data), 'HERE').replaceAll(/[0-9a-f]{16,64}/g, 'HASH'),
    ).toMatchInlineSnapshot(`
      "A new key was made: HERE/roster.key. Keep it in a safe place of its own, with a copy: without it the pseudonyms of this roster can never be made again.
      Files left behind, since they may hold the old ids:
        exports/old.xlsx
        import-log.jsonl
        motion/day.c3d
        motion/other.c3d
        notebook/day.html
        notebook/day.ipynb
        notebook/day.pdf
        notes.txt
        old.tsv.gz
        originals/HASH-mapping-HASH.json
        originals/HASH.csv
        originals/HASH-mapping-HASH.json
        originals/HASH.xlsx
        originals/HASH-mapping-HASH.json
        originals/HASH.csv
        proposals/day.csv
        proposals/mapping.json
      "
    `);
    expect((await stat(key)).mode & 0o077).toBe(0);
  });

  it('gives the same codes with the key again, and never the key', async () => {
    const data = await trial();
    const key = join(data, '..', 'roster.key');
    const outs = ['a', 'b'].map((name) => join(data, '..', name));
    const before = await snapshot(data);
    for (const out of outs) {
      const { exit, out: json } = await type('pseudonymise', data, '--key', key, '--out', out, '--json');
      expect(exit).toBe(0);
      expect(JSON.parse(json)).toMatchObject({
        newKey: out === outs[0],
        golfers: 4,
        sessions: 8,
        swings: 16,
      });
      const secret = (await readFile(key, 'utf8')).trim();
      for (const text of Object.values(await snapshot(out))) expect(text).not.toContain(secret);
    }
    const [a, b] = await Promise.all(outs.map(async (out) => Object.values(await snapshot(out))));
    expect(a).toEqual(b);
    expect(await snapshot(data)).toEqual(before);
  });

  it('refuses a taken folder, a key inside the data or inside what is handed on, and a missing option (2)', async () => {
    const data = await trial();
    const taken = join(data, '..', 'taken');
    await mkdir(taken);
    await writeFile(join(taken, 'mine.txt'), 'mine');
    const key = join(data, '..', 'k');
    const full = await type('pseudonymise', data, '--key', key, '--out', taken);
    expect(full.exit).toBe(2);
    expect(full.err).toContain('which exists and is not empty');
    expect(await readdir(taken)).toEqual(['mine.txt']);
    // A refusal makes no key either.
    await expect(stat(key)).rejects.toThrow();
    const out = join(data, '..', 'out');
    for (const inside of [join(data, 'k'), join(out, 'k')]) {
      const { exit, err } = await type('pseudonymise', data, '--key', inside, '--out', out);
      expect(exit).toBe(2);
      expect(err).toContain('a key outside the dataset and outside what is handed on');
    }
    expect((await type('pseudonymise', data, '--out', out)).exit).toBe(2);
    expect((await type('pseudonymise', data, '--key', key)).exit).toBe(2);
    expect((await type('pseudonymise', '--key', key, '--out', out)).exit).toBe(2);
  });

  it('refuses data that are at fault (1), and writes nothing', async () => {
    const data = await trial();
    await writeFile(join(data, 'swings.csv'), 'swing_id,session_id\nW1,nobody\n');
    const out = join(data, '..', 'out');
    const { exit, err } = await type('pseudonymise', data, '--key', join(data, '..', 'k'), '--out', out);
    expect(exit).toBe(1);
    expect(err).toContain('Nothing was computed');
    await expect(stat(out)).rejects.toThrow();
  });
});
