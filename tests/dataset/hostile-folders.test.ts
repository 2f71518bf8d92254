import { execFileSync } from 'node:child_process';
import { mkdir, readFile, symlink, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { filesUnder } from '../../src/dataset/folder-replacement.ts';
import { eraseGolfer, FolderInUseError, loadDataset } from '../../src/dataset/index.ts';
import { fullFolder, writeFiles } from './privacy/full-folder.ts';
import { inTempFolder, loadFiles, problemsWith, ROSTER } from './roster.ts';

describe('a hostile folder', () => {
  it.each([
    '../golfers.csv',
    '/etc/passwd',
    'a/../../golfers.csv',
    'C:\\golfers.csv',
    '..\\golfers.csv',
    'file:///etc/passwd',
    './golfers.csv',
    'a\0b',
  ])('is not followed out of itself by its descriptor: %j', async (path) => {
    const problems = await problemsWith({
      'datapackage.json': JSON.stringify({ resources: [{ name: 'golfers', path }] }),
    });
    expect(problems.map(({ kind }) => kind)).toContain('bad-descriptor');
  });

  it.each(['../G01.c3d', '/etc/passwd', 'a/../../x.c3d', 'C:\\x.c3d', '..', './x.c3d'])(
    'is not followed out of itself by its captures: %j',
    async (file) => {
      const problems = await problemsWith({
        'captures.csv': `swing_id,file,sha256\nW1,${file},${'0'.repeat(64)}\n`,
      });
      const faults = problems.filter(({ table, severity }) => table === 'captures' && severity === 'error');
      expect(faults.map(({ column, found }) => [column, found])).toContainEqual(['file', file]);
    },
  );

  it('with links, pipes and folders in the place of tables is refused in words, and not waited for', async () => {
    await inTempFolder(async (root) => {
      const folder = join(root, 'data');
      await writeFiles(root, { 'outside.csv': 'golfer_id,plays\nG01,right\n' });
      await mkdir(join(folder, 'sessions.csv'), { recursive: true });
      await symlink('../outside.csv', join(folder, 'golfers.csv'));
      await symlink('practice.csv', join(folder, 'practice.csv'));
      execFileSync('mkfifo', [join(folder, 'swings.csv')]);
      const { valid, problems } = await loadDataset(folder);
      expect(valid).toBe(false);
      for (const table of ['golfers', 'sessions', 'swings', 'practice'])
        expect(
          problems.some((one) => one.table === table && one.kind === 'unreadable-file'),
          table,
        ).toBe(true);
    });
  });

  it('that names a table which was deleted goes on with a warning, unless the table is needed', async () => {
    const named = (...names: string[]) => ({
      'datapackage.json': JSON.stringify({ resources: names.map((name) => ({ name, path: `${name}.csv` })) }),
    });
    const loaded = await loadFiles({ ...ROSTER, ...named('golfers', 'practice', 'captures') });
    if (!loaded.valid) throw new Error(JSON.stringify(loaded.problems));
    expect(loaded.value.given).not.toContain('practice');
    expect(
      loaded.problems
        .filter(({ kind }) => kind === 'missing-file')
        .map(({ table, severity }) => [table, severity]),
    ).toEqual([
      ['practice', 'warning'],
      ['captures', 'warning'],
    ]);
    const { 'swings.csv': _swings, ...others } = ROSTER;
    const refused = await loadFiles({ ...others, ...named('golfers', 'sessions', 'swings') });
    expect(refused.valid).toBe(false);
    // A file that has the table's name and not its place is not passed over.
    const elsewhere = await loadFiles({
      ...ROSTER,
      'practice.csv': 'golfer_id,date\n',
      'datapackage.json': JSON.stringify({ resources: [{ name: 'practice', path: 'old/practice.csv' }] }),
    });
    expect(elsewhere.valid).toBe(false);
  });

  it('with names of JavaScript’s own as columns, tables and ids pollutes nothing', async () => {
    const golfers =
      'golfer_id,plays,__proto__,constructor\n__proto__,right,polluted,x\nconstructor,left,polluted,x\n';
    const loaded = await loadFiles({
      ...ROSTER,
      'golfers.csv':
        golfers +
        ROSTER['golfers.csv']!.split('\n')
          .slice(1)
          .map((line) => line.split(',').slice(0, 2).join(',') + (line ? ',,' : ''))
          .join('\n'),
      'datapackage.json':
        '{"__proto__":{"polluted":1},"resources":[{"name":"__proto__","path":"x.csv"},{"name":"constructor","path":"y.csv"}]}',
    });
    expect(({} as Record<string, unknown>).polluted).toBeUndefined();
    const errors = loaded.problems.filter(({ severity }) => severity === 'error');
    expect(errors.map(({ kind, column }) => `${kind} ${column}`)).toEqual([
      'unknown-column __proto__',
      'unknown-column constructor',
    ]);
  });

  it('with a huge cell, ragged rows, NUL or byte-order marks is read or refused in words', async () => {
    const kinds = async (golfers: string | Uint8Array): Promise<string[]> =>
      (await problemsWith({ 'golfers.csv': golfers })).map(({ kind }) => kind);
    const roster = ROSTER['golfers.csv']!;
    expect(await kinds(`\uFEFF${roster}`)).toEqual([]);
    expect(await kinds(Buffer.from(`\uFEFF${roster}`, 'utf16le'))).toContain('unreadable-file');
    expect(await kinds(`${roster}\0`)).toContain('unreadable-file');
    expect(await kinds(`${roster}G03,right\n`)).toContain('ragged-row');
    expect((await kinds(roster.replace('study', 'x'.repeat(5_000_000)))).length).toBeGreaterThan(0);
  });
});

describe('an erasure in a hostile world', () => {
  it('by two at once: each is whole, or says that the other is at work', async () => {
    await inTempFolder(async (root) => {
      const folder = join(root, 'data');
      await writeFiles(folder, fullFolder());
      const both = await Promise.allSettled([eraseGolfer(folder, 'G1'), eraseGolfer(folder, 'G10')]);
      for (const one of both)
        if (one.status === 'rejected') expect(one.reason).toBeInstanceOf(FolderInUseError);
        else expect(one.value.ok).toBe(true);
      expect(both.some(({ status }) => status === 'fulfilled')).toBe(true);
      expect((await loadDataset(folder)).valid).toBe(true);
    });
  });

  it.skipIf(process.getuid?.() !== 0)(
    'on a full disk changes nothing and leaves nothing beside',
    async () => {
      await inTempFolder(async (root) => {
        const disk = join(root, 'disk');
        await mkdir(disk);
        execFileSync('mount', ['-t', 'tmpfs', '-o', 'size=256k', 'tmpfs', disk]);
        try {
          const folder = join(disk, 'data');
          await writeFiles(folder, fullFolder());
          await writeFile(join(disk, 'filler'), '').then(() =>
            execFileSync('sh', ['-c', `dd if=/dev/zero of='${disk}/filler' bs=4k 2>/dev/null || true`]),
          );
          const before = await filesUnder(folder);
          await expect(eraseGolfer(folder, 'G1')).rejects.toMatchObject({ code: 'ENOSPC' });
          expect(await filesUnder(folder)).toEqual(before);
          expect(await readFile(join(folder, 'golfers.csv'), 'utf8')).toContain('G1,');
        } finally {
          execFileSync('umount', [disk]);
        }
      });
    },
  );
});
