import { readFileSync } from 'node:fs';
import { mkdir, mkdtemp, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { swingFile, swingLayout } from '../bench/swing-file.ts';
import { csvOf } from '../kinematics/write-csv.ts';
import { type } from './harness.ts';

async function folderOf(files: Readonly<Record<string, Uint8Array>>) {
  const root = await mkdtemp(join(tmpdir(), 'measure-folder-'));
  const captures = join(root, 'captures');
  await mkdir(captures);
  for (const [name, bytes] of Object.entries(files)) await writeFile(join(captures, name), bytes);
  const layout = join(root, 'layout.json');
  await writeFile(layout, JSON.stringify(swingLayout));
  return { captures, layout, out: join(root, 'out') };
}

describe('measure --captures', () => {
  it('ends with 0 when all were measured, 1 when some failed, and counts every capture once', async () => {
    const good = swingFile({ seconds: 2 });
    const { captures, layout, out } = await folderOf({ 'a.c3d': good });
    const words = ['measure', '--captures', captures, '--layout', layout, '--out', out, '--json'];
    const first = await type(...words);
    expect([first.exit, JSON.parse(first.out).measured, first.err]).toEqual([0, 1, '']);
    await writeFile(join(captures, 'b.c3d'), good.subarray(0, 5000));
    const second = await type(...words);
    const { measured, failed, skipped } = JSON.parse(second.out);
    expect([second.exit, measured, skipped, failed.length]).toEqual([1, 0, 1, 1]);
    expect(Object.keys(failed[0])).toEqual(
      expect.arrayContaining(['file', 'where', 'found', 'expected', 'remedy']),
    );
    expect(second.err).toContain('b.c3d: capture byte 5000');
  });

  it('gives for one table what it gives for a folder of it, and tells a table by its name', async () => {
    const { captures, layout, out } = await folderOf({ 'a.csv': csvOf(swingFile({ seconds: 2 })) });
    const one = ['measure', '--layout', layout, '--json'];
    const alone = await type(...one, '--capture', join(captures, 'a.csv'));
    const folder = await type(...one, '--captures', captures, '--out', out);
    expect([alone.exit, folder.exit]).toEqual([0, 0]);
    const [header, row] = readFileSync(join(out, 'swings.csv'), 'utf8')
      .split('\n')
      .map((line) => line.split(','));
    for (const [column, value] of Object.entries(JSON.parse(alone.out).swing))
      expect([column, row![header!.indexOf(column)]]).toEqual([column, value === null ? '' : String(value)]);
    // Bytes that are no text are still read as the table that the name says.
    const binary = join(captures, 'b.csv');
    await writeFile(binary, new Uint8Array(600).fill(1));
    const refused = await type(...one, '--capture', binary);
    expect(refused.exit).toBe(1);
    expect(refused.err).toMatch(/capture line 1/);
  });

  it('ends with 2 and words when the request is wrong, and writes nothing', async () => {
    const { captures, layout, out } = await folderOf({});
    const requests = [
      ['--layout', layout],
      ['--captures', captures, '--layout', layout],
      ['--captures', captures, '--capture', 'a.c3d', '--layout', layout, '--out', out],
      ['--capture', 'a.c3d', '--layout', layout, '--out', out],
      ['--captures', captures, '--layout', layout, '--out', out],
      ['--captures', join(captures, 'nowhere'), '--layout', layout, '--out', out],
    ];
    for (const words of requests) {
      const { exit, out: printed, err } = await type('measure', ...words, '--json');
      expect([words, exit]).toEqual([words, 2]);
      expect(JSON.parse(printed).problems.length).toBeGreaterThan(0);
      expect(err).toContain('What to do');
    }
  });
});
