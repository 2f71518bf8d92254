/** A full disk: every command that writes says so in words, leaves nothing half-written, and what stood there stands. */
import { execFileSync } from 'node:child_process';
import { mkdir, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { datasetFromRows, type RowsInput, writeDataset } from '../../src/dataset/index.ts';
import { swingFile, swingLayout } from '../bench/swing-file.ts';
import { snapshot, trialRows, type, untidy } from '../cli/harness.ts';
import { fullFolder, writeFiles } from './privacy/full-folder.ts';
import { inTempFolder } from './roster.ts';

const DEMO = join(import.meta.dirname, '../../synthetic/demo');
const SHEET = 'date,golfer,plays,club speed (mph)\n2026-03-04,Z1,right,80.5\n2026-03-04,Z1,right,81.5\n';

/** A disk of its own with a dataset on it and no room left, and a folder with room. */
async function onFullDisk(work: (disk: string, root: string) => Promise<void>): Promise<void> {
  await inTempFolder(async (root) => {
    const disk = join(root, 'disk');
    await mkdir(disk);
    execFileSync('mount', ['-t', 'tmpfs', '-o', 'size=512k', 'tmpfs', disk]);
    try {
      await writeFiles(join(disk, 'data'), fullFolder());
      await writeFiles(root, { 'a.csv': SHEET });
      await writeRoster(join(root, 'roster'));
      execFileSync('sh', ['-c', `dd if=/dev/zero of='${disk}/filler' bs=1k 2>/dev/null || true`]);
      await work(disk, root);
    } finally {
      execFileSync('umount', [disk]);
    }
  });
}

/** Sixteen golfers who agreed to everything. */
async function writeRoster(folder: string): Promise<void> {
  const rows = trialRows({
    golfersPerArm: 8,
    swingsPerSession: 4,
    arms: ['drill', 'control'],
    value: untidy,
  });
  for (const golfer of rows.golfers ?? [])
    Object.assign(golfer, { plays: 'right', age_band: '30-39', consent_scope: 'share' });
  const made = datasetFromRows(rows as unknown as RowsInput);
  if (!made.valid) throw new Error(JSON.stringify(made.problems));
  await writeDataset(folder, made.value);
}

async function mapping(root: string): Promise<string> {
  const proposed = await type('import', '--propose', join(root, 'a.csv'), '--out', join(root, 'proposed'));
  expect(proposed.exit).toBe(0);
  const path = join(root, 'proposed', 'mapping.json');
  const text = await readFile(path, 'utf8');
  await writeFile(
    path,
    text.replace('"phase": "ask"', '"phase": "baseline"').replace('"task": "ask"', '"task": "full"'),
  );
  return path;
}

describe.skipIf(process.getuid?.() !== 0)('on a full disk', () => {
  it.each<[string, (out: string, disk: string, root: string) => Promise<readonly string[]>]>([
    ['init', async (out) => ['init', out]],
    ['generate', async (out) => ['generate', '--recipe', 'single-golfer', '--seed', '1', '--out', out]],
    ['import --propose', async (out, _, root) => ['import', '--propose', join(root, 'a.csv'), '--out', out]],
    [
      'import --data',
      async (_, disk, root) => ['import', '--mapping', await mapping(root), '--data', join(disk, 'data')],
    ],
    [
      'import --out',
      async (out, disk, root) => [
        'import',
        '--mapping',
        await mapping(root),
        '--data',
        join(disk, 'data'),
        '--out',
        out,
      ],
    ],
    ['pack', async (out) => ['pack', DEMO, '--out', out]],
    [
      'unpack',
      async (out, _, root) => {
        expect((await type('pack', DEMO, '--out', join(root, 'packed'))).exit).toBe(0);
        return ['unpack', join(root, 'packed'), '--out', out];
      },
    ],
    [
      'pseudonymise',
      async (out, _, root) => ['pseudonymise', DEMO, '--key', join(root, 'key'), '--out', out],
    ],
    ['share', async (out) => ['share', DEMO, '--scope', 'study', '--out', out]],
    ['erase', async (_, disk) => ['erase', 'G1', '--data', join(disk, 'data')]],
    [
      'share of a roster on it',
      async (_, disk, root) => ['share', join(disk, 'data'), '--scope', 'study', '--out', join(root, 'out')],
    ],
    [
      'measure --captures',
      async (out, _, root) => {
        await writeFiles(root, {
          'captures/a.c3d': swingFile({ seconds: 2, seed: 1 }),
          'layout.json': JSON.stringify(swingLayout),
        });
        const [captures, layout] = [join(root, 'captures'), join(root, 'layout.json')];
        return ['measure', '--captures', captures, '--layout', layout, '--out', out];
      },
    ],
    [
      'plan --out',
      async (out) => [
        'plan',
        ...['--recipe', 'drill-parallel-effect', '--metric', 'shaft_lean_impact_deg', '--change', '1'],
        ...['--out', out],
      ],
    ],
    [
      'allocate --out',
      async (out) => [
        'allocate',
        ...['--data', DEMO, '--plan', join(DEMO, 'plan.json'), '--seed', '8214007315529', '--out', out],
      ],
    ],
    [
      'export',
      async (out, _, root) => {
        const report = join(root, 'report');
        expect((await type('ask', 'noise', '--data', join(root, 'roster'), '--out', report)).exit).toBe(0);
        return ['export', report, '--data', join(root, 'roster'), '--out', `${out}.zip`];
      },
    ],
    [
      'run',
      async (out, _, root) => {
        await writeFiles(root, { 'note.ts': '// %% [markdown]\n// # A note\n// %%\n1 + 1;\n' });
        return ['run', join(root, 'note.ts'), '--out', out];
      },
    ],
    [
      'calibrate',
      async (out) => ['calibrate', '--study', 'one-golfer', '--cohorts', '2', '--seed', '2', '--out', out],
    ],
    ['ask --out', async (out) => ['ask', 'noise', '--data', DEMO, '--out', out]],
    ['lock', async (out) => ['lock', '--plan', join(DEMO, 'plan.json'), '--data', DEMO, '--out', out]],
  ])('%s', { timeout: 120_000 }, async (name, command) => {
    await onFullDisk(async (disk, root) => {
      const words = await command(join(disk, 'out'), disk, root);
      const before = await snapshot(disk);
      const { exit, out, err } = await type(...words);
      expect(exit, out + err).toBe(2);
      expect(out + err, name).toContain('a disk that is full');
      expect(err).not.toMatch(/our fault|\bat .+\.ts:\d+/);
      // Nothing of the new folder, no lock, no half of a file.
      expect(Object.keys(await snapshot(disk))).toEqual(Object.keys(before));
      expect(await snapshot(disk)).toEqual(before);
    });
  });
});
