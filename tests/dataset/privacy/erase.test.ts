import { execFileSync } from 'node:child_process';
import { readFile, symlink, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { filesUnder } from '../../../src/dataset/folder-replacement.ts';
import { codesFor, eraseGolfer, loadDataset, sha256Hex } from '../../../src/dataset/index.ts';
import { ByteFinder } from '../../../src/dataset/privacy/byte-finder.ts';
import { cellsOf, recordsOf } from '../../../src/dataset/privacy/records.ts';
import { TextFinder } from '../../../src/dataset/privacy/sought.ts';
import { packDataset } from '../../../src/dataset/store/pack.ts';
import { inTempFolder } from '../roster.ts';
import { fullFolder, writeFiles } from './full-folder.ts';

const SCANNER = fileURLToPath(new URL('./naive_scan.py', import.meta.url));

/** What a scanner that shares no code with the project finds. */
function found(folder: string, ...words: readonly string[]): string[] {
  return execFileSync('python3', [SCANNER, folder, ...words], { encoding: 'utf8' })
    .split('\n')
    .filter(Boolean);
}

async function full(work: (folder: string) => Promise<void>): Promise<void> {
  await inTempFolder(async (root) => {
    const folder = join(root, 'data');
    await writeFiles(folder, fullFolder());
    await work(folder);
  });
}

const text = (folder: string, path: string): Promise<string> => readFile(join(folder, path), 'utf8');

describe('eraseGolfer', () => {
  it('leaves no trace that a scanner of every byte finds, and everything of the others', async () => {
    await full(async (folder) => {
      const before = found(folder, 'G1');
      expect(before.length).toBeGreaterThan(20);
      const outcome = await eraseGolfer(folder, 'G1');
      if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
      // The id of the other golfer G1-2 holds the word G1: these places are his, and all that is left.
      const left = found(folder, 'G1').filter((place) => !place.includes('a name'));
      const others = found(folder, 'G1-2').filter((place) => !place.includes('a name'));
      expect(left.map((place) => place.replace('G1', 'G1-2'))).toEqual(others);
      for (const word of ['G1S2', 'x7Q-long-swing-9', 'G1-S1']) expect(found(folder, word)).toEqual([]);
      expect(found(folder, 'G10').length).toBeGreaterThan(5);

      const { rows, captures, removed, mentions, scan } = outcome.value;
      expect(captures).toEqual(['motion/G1-S1.c3d', 'motion/G1S2.c3d']);
      expect(removed).toEqual([
        'empty/G1/nothing.txt',
        'originals/nested.zip',
        'originals/old.csv.gz',
        'originals/sheet.xlsx',
        'report/finding.json',
        'report/index.html',
        'video/G1.mp4',
      ]);
      expect(rows).toEqual({
        'captures.csv': 2,
        'curves.csv': 2,
        'golfers.csv': 1,
        'import-log.jsonl': 2,
        'notes.md': 1,
        'originals/day.csv': 1,
        'originals/wide.csv': 1,
        'plan.json': 2,
        'practice.csv': 1,
        'sessions.csv': 2,
        'swings.csv': 2,
      });
      // The remark on AG1, the note of the layout, and the label in the capture of G10.
      expect(mentions).toBe(3);
      expect(scan.found).toEqual([]);
      expect(scan.closed).toEqual(['documents/letter.pdf']);
      expect(await text(folder, 'golfers.csv')).toContain('"plays with erased, often"');
      expect(await text(folder, 'notes.md')).toBe('# Notes\nG10 came early.\n');
      expect(JSON.parse(await text(folder, 'plan.json'))).toEqual({
        exclude: [{ golfer: 'G10', why: 'hurt' }],
        names: { G10: 2 },
      });
      expect(await readFile(join(folder, 'originals/day.csv'), 'latin1')).toBe(
        'Player;Speed\r\nG10;37,5\r\nM\xfcller;38\r\n',
      );
      expect((await readFile(join(folder, 'originals/wide.csv'))).toString('utf16le')).toBe(
        '\uFEFFPlayer\tSpeed\r\nG10\t37\r\n',
      );
      const after = await readFile(join(folder, 'motion/G10-S1.c3d'));
      expect(await text(folder, 'captures.csv')).toContain(sha256Hex(after));
      expect(await text(folder, 'erasures.csv')).toBe(
        `erasure,files_looked_through,places_found_afterwards\n1,${scan.files},0\n`,
      );
      expect((await loadDataset(folder)).valid).toBe(true);
    });
  });

  it('keeps every byte of what is not the golfer’s', async () => {
    await full(async (folder) => {
      const files = fullFolder();
      await eraseGolfer(folder, 'G1-2');
      for (const path of ['layout.json', 'originals/day.csv', 'report/index.html', 'motion/G1-S1.c3d'])
        expect(await readFile(join(folder, path))).toEqual(Buffer.from(files[path]!));
      expect(await text(folder, 'swings.csv')).toBe(String(files['swings.csv']).replace(/^G1-2.*\n/m, ''));
      expect(found(folder, 'G1-2')).toEqual([]);
    });
  });

  it('takes a second golfer in the same way, and says so in one more line', async () => {
    await full(async (folder) => {
      await eraseGolfer(folder, 'G1');
      expect((await eraseGolfer(folder, 'AG1')).ok).toBe(true);
      expect((await text(folder, 'erasures.csv')).split('\n').length).toBe(4);
      expect(found(folder, 'AG1')).toEqual([]);
      const again = await eraseGolfer(folder, 'AG1');
      expect(again.ok ? '' : again.problems[0]!.found).toContain('no golfer "AG1"');
    });
  });

  it('takes the pseudonym too, with the key', async () => {
    await inTempFolder(async (folder) => {
      const key = Buffer.alloc(32, 7);
      const codes = codesFor(key, 'golfer', ['17', '18']);
      const [mine, other] = [codes.get('17')!, codes.get('18')!];
      await writeFiles(folder, {
        'golfers.csv': `golfer_id,plays\n${mine},right\n${other},left\n`,
        'sessions.csv': `session_id,golfer_id,date,phase\n${mine}-S1,${mine},2026-03-01,baseline\n${other}-S1,${other},2026-03-01,baseline\n`,
        'swings.csv': `swing_id,session_id,order_in_session,task\n${mine}-S1-W1,${mine}-S1,1,full\n${other}-S1-W1,${other}-S1,1,full\n`,
        'notes.txt': `${mine} limps\n${other} is well, at 17 swings\n`,
      });
      expect((await eraseGolfer(folder, '17')).ok).toBe(false);
      expect((await eraseGolfer(folder, '17', { key: Buffer.alloc(32, 8) })).ok).toBe(false);
      expect((await eraseGolfer(folder, '17', { key })).ok).toBe(true);
      expect(found(folder, mine)).toEqual([]);
      expect(await text(folder, 'notes.txt')).toBe(`${other} is well, at 17 swings\n`);
      expect((await loadDataset(folder)).valid).toBe(true);
    });
  });

  it('takes rows out of a packed dataset, which is still what its descriptor says', async () => {
    await inTempFolder(async (root) => {
      const [csv, folder] = [join(root, 'csv'), join(root, 'packed')];
      await writeFiles(csv, fullFolder());
      const packed = await packDataset(csv, folder);
      expect(packed.problems).toEqual([]);
      const outcome = await eraseGolfer(folder, 'G1');
      if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
      const loaded = await loadDataset(folder);
      if (!loaded.valid) throw new Error(JSON.stringify(loaded.problems));
      expect(loaded.value.tables.golfers.column('golfer_id')).toEqual(['G10', 'G1-2', 'AG1']);
      expect(loaded.value.tables.swings.length).toBe(3);
      expect(found(folder, 'G1S2')).toEqual([]);
      const descriptor = JSON.parse(await text(folder, 'datapackage.json')) as {
        resources: { path: string; hash?: string; bytes?: number; rows?: number }[];
      };
      for (const { path, hash, bytes } of descriptor.resources) {
        const content = await readFile(join(folder, path));
        if (hash !== undefined) expect(hash).toBe(`sha256:${sha256Hex(content)}`);
        if (bytes !== undefined) expect(bytes).toBe(content.length);
      }
    });
  });

  it('keeps a -0 of somebody else in a packed table, which is not 0', async () => {
    await inTempFolder(async (root) => {
      const [csv, folder] = [join(root, 'csv'), join(root, 'packed')];
      const files = fullFolder();
      const swings = String(files['swings.csv'])
        .replace('club_speed_mps', 'attack_angle_deg')
        .replace('32.5', '-0')
        .replace(/3[34]\.5/g, '-3');
      expect(swings).toMatch(/^G10-.*,-0$/m);
      await writeFiles(csv, { ...files, 'swings.csv': swings });
      expect((await packDataset(csv, folder)).problems).toEqual([]);
      expect((await eraseGolfer(folder, 'G1')).ok).toBe(true);
      const loaded = await loadDataset(folder);
      if (!loaded.valid) throw new Error(JSON.stringify(loaded.problems));
      const row = loaded.value.tables.swings.column('swing_id').indexOf('G10-S1-01');
      expect(Object.is(loaded.value.tables.swings.column('attack_angle_deg')[row], -0)).toBe(true);
    });
  });

  it.each(['7', 'A', 'full'])('refuses an id that is no word of its own: %s', async (id) => {
    await inTempFolder(async (folder) => {
      const files = {
        'golfers.csv': `golfer_id,plays\n${id},right\n`,
        'sessions.csv': `session_id,golfer_id,date,phase\nS1,${id},2026-03-01,baseline\n`,
        'swings.csv': 'swing_id,session_id,order_in_session,task\nW1,S1,1,full\n',
      };
      await writeFiles(folder, files);
      const outcome = await eraseGolfer(folder, id);
      expect(outcome.ok ? '' : outcome.problems[0]!.remedy).toContain('pseudonymise');
      for (const [path, content] of Object.entries(files)) expect(await text(folder, path)).toBe(content);
    });
  });

  it.each(['', 'G99', 'csv', 'the', '.*', '../..', '__proto__'])(
    'touches nothing for no golfer: "%s"',
    async (id) => {
      await full(async (folder) => {
        const before = await filesUnder(folder);
        expect((await eraseGolfer(folder, id)).ok).toBe(false);
        expect(await filesUnder(folder)).toEqual(before);
      });
    },
  );

  it('refuses links, whose targets it would not reach, and a history', async () => {
    await full(async (folder) => {
      await writeFile(join(folder, '..', 'outside.txt'), 'G1');
      await symlink('../outside.txt', join(folder, 'link.txt'));
      await writeFiles(folder, { '.git/HEAD': 'ref' });
      const outcome = await eraseGolfer(folder, 'G1');
      expect(outcome.ok ? [] : outcome.problems.map(({ where }) => where)).toEqual([
        'the folder',
        'link.txt',
      ]);
      expect(await text(folder, '../outside.txt')).toBe('G1');
      expect(await text(folder, 'swings.csv')).toContain('G1-S1-01');
    });
  });
});

describe('the words looked for', () => {
  it.each([
    ['G1', true],
    ['"G1"', true],
    ['G1-S1', true],
    ['G1_S1.c3d', true],
    ['a/G1/b', true],
    ['’G1’', true],
    ['G1\u00a0x', true],
    ['G10', false],
    ['AG1', false],
    ['éG1', false],
    ['G1é', false],
    ['g1', false],
    ['G1-2', false],
    ['x G1-2-S1', false],
    ['G1-2 and G1', true],
    ['G1-23', true],
  ])('%j holds G1: %s', (given, expected) => {
    const sought = { golfers: ['G1'], words: ['G1'], others: ['G1-2'] };
    expect(new TextFinder(sought).isIn(given)).toBe(expected);
    for (const bytes of [
      Buffer.from(given, 'utf8'),
      Buffer.from(given, 'utf16le'),
      Buffer.from(given, 'utf16le').swap16(),
    ])
      expect(new ByteFinder(sought).isIn(bytes)).toBe(expected);
  });

  it('are found alike in texts and in bytes, whatever the id', () => {
    const words = fc.string({
      unit: fc.constantFrom('a', 'B', '7', '-', ' ', 'é', '\u0301', '"', '&', '(', '𝒳'),
      minLength: 1,
      maxLength: 4,
    });
    fc.assert(
      fc.property(words, words, words, (word, before, after) => {
        const sought = { golfers: [word], words: [word], others: [] };
        const given = before + word + after;
        const inText = new TextFinder(sought).isIn(given);
        expect(new ByteFinder(sought).isIn(Buffer.from(given, 'utf8'))).toBe(inText);
        expect(new TextFinder(sought).isIn(`,${word},`)).toBe(true);
        expect(
          new TextFinder(sought).isIn(new TextFinder(sought).replaced(given, '').text) && inText && false,
        ).toBe(false);
      }),
      { numRuns: 500, seed: 8 },
    );
  });
});

describe('records', () => {
  it('joined again are the text, and their cells are those that were written', () => {
    const cell = fc.string({ unit: fc.constantFrom('a', ',', '"', '\n', '\r', ' ', 'é'), maxLength: 5 });
    const written = (value: string): string =>
      /[",\n\r]/.test(value) ? `"${value.replaceAll('"', '""')}"` : value;
    fc.assert(
      fc.property(
        fc.array(fc.array(cell, { minLength: 1, maxLength: 4 }), { minLength: 1, maxLength: 5 }),
        (rows) => {
          const csv = rows.map((row) => `${row.map(written).join(',')}\r\n`).join('');
          const records = [...recordsOf(csv)];
          expect(records.join('')).toBe(csv);
          expect(records.map(cellsOf)).toEqual(rows);
        },
      ),
      { numRuns: 500, seed: 8 },
    );
  });
});
