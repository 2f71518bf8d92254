/** What an import meets: names of JavaScript's own, links, cells without end, marks of byte order, two at once. */
import { mkdir, readFile, symlink, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import {
  AlreadyThereError,
  FolderChangedError,
  FolderInUseError,
  importFile,
  initDataset,
  loadDataset,
  packDataset,
  proposeMapping,
  readColumns,
} from '../../src/dataset/index.ts';
import { type } from '../cli/harness.ts';
import { answered, folderOf, imported, pictureOf, saidBy } from './import/importing.ts';
import { inTempFolder, loadFiles, ROSTER } from './roster.ts';

const text = (content: string) => new TextEncoder().encode(content);
const sheetOf = (golfer: string, id = 'W') =>
  text(
    `swing id,date,golfer,plays,club speed (mph)\n${id}1,2026-03-04,${golfer},right,80.5\n${id}2,2026-03-04,${golfer},right,81.5\n`,
  );

describe('an import in a hostile world', () => {
  it('takes golfers and swings by names of JavaScript’s own as names', async () => {
    await inTempFolder(async (root) => {
      for (const name of ['__proto__', 'constructor', 'toString', 'hasOwnProperty']) {
        const data = join(root, `of-${name}`);
        const result = await imported(sheetOf(name, name), 'a.csv', data);
        if (!result.ok) throw new Error(saidBy(result));
        expect(result.value.counts).toMatchObject({ rows: 2, imported: 2, leftOut: 0 });
        const loaded = await loadDataset(data);
        if (!loaded.valid) throw new Error(JSON.stringify(loaded.problems));
        expect(loaded.value.tables.swings.column('swing_id')).toEqual([`${name}1`, `${name}2`]);
      }
      expect(({} as Record<string, unknown>).plays).toBeUndefined();
    });
  });

  it('reads no table through a link that leads out of the dataset, and leaves what it leads to', async () => {
    await inTempFolder(async (root) => {
      const data = join(root, 'data');
      await folderOf(data, { 'notes.txt': 'mine' });
      await folderOf(root, { 'golfers.csv': 'golfer_id,plays\nK01,left\n' });
      await symlink(join(root, 'golfers.csv'), join(data, 'golfers.csv'));
      const before = await pictureOf(data);
      const result = await imported(sheetOf('G01'), 'a.csv', data);
      expect(saidBy(result)).toContain('golfers.csv, which leads out of the folder');
      expect(await pictureOf(data)).toBe(before);
      expect(await readFile(join(root, 'golfers.csv'), 'utf8')).toBe('golfer_id,plays\nK01,left\n');
    });
  });

  it('reads marks of byte order, UTF-16 of both orders among them', () => {
    const content = new TextDecoder().decode(sheetOf('Jörg'));
    const little = Buffer.from(`\uFEFF${content}`, 'utf16le');
    const big = Buffer.from(little).swap16();
    for (const bytes of [text(`\uFEFF${content}`), new Uint8Array(little), new Uint8Array(big)]) {
      const proposal = proposeMapping(bytes, 'a.csv');
      if (!proposal.ok) throw new Error(JSON.stringify(proposal.problems));
      expect(proposal.mapping.columns.map(({ header }) => header)[0]).toBe('swing id');
      expect(proposal.mapping.golfers[0]?.written).toEqual(['Jörg']);
    }
  });

  it('gets through a cell of ten million letters, in any column', { timeout: 60_000 }, async () => {
    const long = 'x'.repeat(10_000_000);
    for (const sheet of [
      sheetOf(long),
      text(`${new TextDecoder().decode(sheetOf('G01'))}${long},a,b,c,d\n`),
    ]) {
      const proposal = proposeMapping(sheet, 'a.csv');
      if (proposal.ok)
        await inTempFolder(async (root) => {
          const result = await importFile({
            mapping: answered(proposal.mapping),
            source: sheet,
            data: join(root, 'data'),
          });
          if (result.ok) expect(result.value.counts.rows).toBe(proposal.rows);
          else expect(result.problems.length).toBeGreaterThan(0);
        });
    }
  });

  it('by two at once into one dataset: each is whole, or says that the other is at work', async () => {
    await inTempFolder(async (root) => {
      const data = join(root, 'data');
      const work = (golfer: string, id: string) => imported(sheetOf(golfer, id), `${id}.csv`, data);
      const both = await Promise.allSettled([work('G01', 'A'), work('G02', 'B')]);
      let taken = 0;
      for (const one of both)
        if (one.status === 'rejected')
          expect([FolderInUseError, FolderChangedError].some((kind) => one.reason instanceof kind)).toBe(
            true,
          );
        else if (one.value.ok) taken += 1;
      expect(taken).toBeGreaterThan(0);
      const loaded = await loadDataset(data);
      if (!loaded.valid) throw new Error(JSON.stringify(loaded.problems));
      expect(loaded.value.tables.swings.length).toBe(2 * taken);
    });
  });
});

describe('tables with marks of byte order', () => {
  it('of UTF-16, in both orders, are refused in words', async () => {
    for (const swap of [false, true]) {
      const bytes = Buffer.from(`\uFEFF${ROSTER['golfers.csv']}`, 'utf16le');
      const { problems } = await loadFiles({ ...ROSTER, 'golfers.csv': swap ? bytes.swap16() : bytes });
      expect(problems.map(({ found }) => found)).toContain('text in UTF-16');
    }
  });
});

describe('columns of any file by names of JavaScript’s own', () => {
  it('are columns, but for the one that cannot be', () => {
    const read = readColumns('a.csv', text('constructor,toString\n1,2\n'));
    if (!read.ok) throw new Error(JSON.stringify(read.problems));
    expect(Object.entries(read.columns)).toEqual([
      ['constructor', ['1']],
      ['toString', ['2']],
    ]);
    expect(readColumns('a.csv', text('__proto__\n1\n2\n')).ok).toBe(false);
  });
});

describe('an output folder', () => {
  it('that is a link to a folder with something in it is refused, and nothing goes through it', async () => {
    await inTempFolder(async (root) => {
      const full = join(root, 'full');
      await folderOf(full, { mine: 'x' });
      await symlink(full, join(root, 'link'));
      await symlink(join(root, 'nowhere'), join(root, 'dangling'));
      await symlink('loop', join(root, 'loop'));
      const before = await pictureOf(full);
      await mkdir(join(root, 'data'));
      for (const [name, content] of Object.entries(ROSTER))
        await writeFile(join(root, 'data', name), content);
      for (const out of ['link', 'dangling', 'loop'])
        for (const make of [
          () => initDataset(join(root, out)),
          () => packDataset(join(root, 'data'), join(root, out)),
        ])
          await expect(make(), out).rejects.toSatisfy(
            (error) => error instanceof AlreadyThereError || (out === 'loop' && error.code === 'ELOOP'),
          );
      expect(await pictureOf(full)).toBe(before);
      const typed = await type('init', join(root, 'loop'));
      expect([typed.exit, typed.out + typed.err]).toEqual([2, expect.not.stringMatching(/our fault|ELOOP/)]);
    });
  });

  it('that two make at once is made by one of them, whole', async () => {
    await inTempFolder(async (root) => {
      await mkdir(join(root, 'data'));
      for (const [name, content] of Object.entries(ROSTER))
        await writeFile(join(root, 'data', name), content);
      const out = join(root, 'out');
      const both = await Promise.allSettled([0, 1].map(() => packDataset(join(root, 'data'), out)));
      expect(both.filter(({ status }) => status === 'fulfilled')).toHaveLength(1);
      for (const one of both)
        if (one.status === 'rejected') expect(one.reason).toBeInstanceOf(AlreadyThereError);
      expect((await loadDataset(out)).valid).toBe(true);
    });
  });
});
