import { mkdir, mkdtemp, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { swingFile, swingLayout } from '../bench/swing-file.ts';
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
