import { spawn } from 'node:child_process';
import { appendFile, mkdir, readFile, rename, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { loadDataset, type MeasuredFolder, measureFolder, sha256Hex } from '../../src/dataset/index.ts';
import { measureCapture } from '../../src/kinematics/index.ts';
import { createStream } from '../../src/numerics/index.ts';
import { swingFile, swingLayout } from '../bench/swing-file.ts';
import { snapshot } from '../cli/harness.ts';
import { csvOf } from '../kinematics/write-csv.ts';
import { inTempFolder } from './roster.ts';

const LAYOUT = JSON.stringify(swingLayout);
const swing = (seed: number): Uint8Array => swingFile({ seconds: 2, seed });

type Files = Readonly<Record<string, string | Uint8Array>>;

/** Ten files: six swings that differ, a copy, a cut file, no C3D file at all, an empty one. */
const MIXED: Files = {
  'S1/sw-1.c3d': swing(1),
  'S1/sw-2.c3d': swing(2),
  'S1/sw-10.c3d': swing(3),
  'S1/sw-3.c3d': swing(4).subarray(0, 150_000),
  'S1/sw-4.C3D': swing(2),
  'S2/a/sw-1.c3d': swing(5),
  'S2/a/sw-2.c3d': new TextEncoder().encode('not a capture'.repeat(200)),
  'S2/a/sw-3.c3d': new Uint8Array(),
  'S2/a/sw-4.c3d': swing(6),
  'last.c3d': swing(7),
  'S1/.hidden.c3d': 'passed over',
  'S1/notes.txt': 'passed over',
};
const TOTAL = 10;

async function place(root: string, files: Files): Promise<{ captures: string; layout: string; out: string }> {
  const captures = join(root, 'captures');
  for (const [path, content] of Object.entries(files)) {
    await mkdir(dirname(join(captures, path)), { recursive: true });
    await writeFile(join(captures, path), content);
  }
  const layout = join(root, 'layout.json');
  await writeFile(layout, LAYOUT);
  return { captures, layout, out: join(root, 'out') };
}

async function measured(request: Parameters<typeof measureFolder>[0]): Promise<MeasuredFolder> {
  const outcome = await measureFolder(request);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  return outcome.value;
}

const countOf = ({ measured: now, failed, skipped }: MeasuredFolder): number => now + failed.length + skipped;

/** What a run leaves, but for the log, whose lines stand in the order in which the files were done. */
async function tablesOf(out: string): Promise<Record<string, string>> {
  const files = await snapshot(out);
  return Object.fromEntries(
    Object.entries(files)
      .filter(([path]) => !path.endsWith('.jsonl'))
      .map(([path, text]) => [path.slice(out.length), text]),
  );
}

const rowsOf = (csv: string): string[][] =>
  csv
    .trimEnd()
    .split('\n')
    .map((line) => line.split(','));

describe('a folder of good and bad captures', () => {
  it('measures what can be measured, says why the rest cannot, and changes no capture', async () => {
    await inTempFolder(async (root) => {
      const request = await place(root, MIXED);
      const before = await snapshot(request.captures);
      const result = await measured({ ...request, workers: 2 });
      expect(await snapshot(request.captures)).toEqual(before);
      expect(result.measured).toBe(6);
      expect(result.failed.map(({ file }) => file)).toEqual([
        'S1/sw-3.c3d',
        'S2/a/sw-2.c3d',
        'S2/a/sw-3.c3d',
      ]);
      for (const { where, found, expected, remedy } of result.failed)
        for (const words of [where, found, expected, remedy]) expect(words).not.toBe('');
      expect(result.copies).toEqual([{ file: 'S1/sw-4.C3D', sameAs: 'S1/sw-2.c3d' }]);
      expect(countOf(result)).toBe(TOTAL);

      const captures = rowsOf(await readFile(join(request.out, 'captures.csv'), 'utf8'));
      const bytesOf = MIXED as Readonly<Record<string, Uint8Array>>;
      expect(captures.slice(1).map(([, file, sha]) => [file, sha])).toEqual(
        ['last.c3d', 'S1/sw-1.c3d', 'S1/sw-2.c3d', 'S1/sw-10.c3d', 'S2/a/sw-1.c3d', 'S2/a/sw-4.c3d'].map(
          (file) => [file, sha256Hex(bytesOf[file]!)],
        ),
      );
      // Each layout used is kept, as it was.
      expect(await readFile(join(request.out, captures[1]![3]!), 'utf8')).toBe(LAYOUT);

      const [header, ...swings] = rowsOf(await readFile(join(request.out, 'swings.csv'), 'utf8'));
      const alone = measureCapture({ c3dBytes: swing(5), layout: swingLayout });
      if (!alone.ok) throw new Error('the single capture is refused');
      const row = swings.find(([id]) => id === 'S2/a/sw-1')!;
      expect(row.slice(0, 4)).toEqual(['S2/a/sw-1', 'S2/a', '1', 'full']);
      for (const [column, value] of Object.entries(alone.value.swing))
        expect([column, row[header!.indexOf(column)]]).toEqual([column, value === null ? '' : String(value)]);
    });
  });

  it('measures C3D files and tables of coordinates alike', { timeout: 120_000 }, async () => {
    await inTempFolder(async (root) => {
      const table = csvOf(swing(8));
      const middle = table.length >> 1;
      const spoilt = new TextEncoder().encode(
        new TextDecoder()
          .decode(table)
          .slice(0, middle)
          .replace(/,[^,]*,[^,]*$/, ',abc'),
      );
      const request = await place(root, {
        'S1/a.c3d': swing(8),
        'S1/b.csv': table,
        'S1/c.csv': csvOf(swing(8), 'long'),
        'S1/d.csv': spoilt,
      });
      const result = await measured(request);
      expect(result.measured).toBe(3);
      expect(result.failed.map(({ file }) => file)).toEqual(['S1/d.csv']);
      expect(result.failed[0]!.where).toMatch(/^capture line \d+, column/);
      const [header, ...swings] = rowsOf(await readFile(join(request.out, 'swings.csv'), 'utf8'));
      const numbers = swings.map((row) => row.slice(4).map((text) => (text === '' ? null : Number(text))));
      expect(swings.map(([id]) => id)).toEqual(['S1/a', 'S1/b', 'S1/c']);
      expect(numbers[0]!.filter((v) => v !== null).length).toBeGreaterThan(40);
      // Rows that stand a time apart say the rate to a digit less than the file's own number.
      for (const other of numbers.slice(1))
        numbers[0]!.forEach((value, i) => {
          if (value === null) expect([header![i + 4], other[i]]).toEqual([header![i + 4], null]);
          else
            expect(Math.abs(other[i]! - value), header![i + 4]).toBeLessThan(
              1e-9 * Math.max(1, Math.abs(value)),
            );
        });
    });
  });

  it('gives the same bytes for any number of workers', { timeout: 120_000 }, async () => {
    await inTempFolder(async (root) => {
      const request = await place(root, MIXED);
      const outs = [1, 2, 3].map((workers) => ({ workers, out: join(root, `out-${workers}`) }));
      for (const { workers, out } of outs) await measured({ ...request, out, workers });
      const [first, ...others] = await Promise.all(outs.map(({ out }) => tablesOf(out)));
      expect(Object.keys(first!).length).toBeGreaterThan(4);
      for (const other of others) expect(other).toEqual(first);
    });
  });

  it('makes a whole dataset where the roster lies beside captures and manifest', async () => {
    await inTempFolder(async (root) => {
      const manifest =
        'file,swing_id,session_id,order_in_session,task,club,layout,note\n' +
        'S1/sw-1.c3d,W1,V1,1,full,c7,,first\n' +
        'S1/sw-3.c3d,W2,V1,2,drill,c7,,\n' +
        'S2/a/sw-1.c3d,W3,V2,1,full,,left.json,"wind, rain"\n' +
        'gone.c3d,W4,V2,2,full,,,\n';
      const request = await place(root, {
        ...MIXED,
        'manifest.csv': manifest,
        'left.json': JSON.stringify({ ...swingLayout, note: 'another layout' }),
        'golfers.csv': 'golfer_id,plays\nG01,right\nG02,right\n',
        'sessions.csv':
          'session_id,golfer_id,date,phase\nV1,G01,2031-03-01,baseline\nV2,G02,2031-03-02,post\n',
      });
      const result = await measured(request);
      expect(result.manifest).toBe(true);
      expect(result.measured).toBe(2);
      // One cut, one gone, and the eight captures that the manifest does not list.
      expect(result.failed.length).toBe(2 + TOTAL - 3);
      expect(result.failed.filter(({ where }) => where === 'manifest.csv').length).toBe(TOTAL - 3);
      const loaded = await loadDataset(request.out);
      expect(loaded.problems.filter(({ severity }) => severity === 'error')).toEqual([]);
      if (!loaded.valid) throw new Error('the dataset is refused');
      const { swings, captures } = loaded.value.tables;
      expect(swings.column('swing_id')).toEqual(['W1', 'W2', 'W3', 'W4']);
      expect(swings.column('task')).toEqual(['full', 'drill', 'full', 'full']);
      expect(swings.text('note')).toEqual(['first', null, 'wind, rain', null]);
      const missing = [...swings.column('lag_top_deg')].map((value) => Number.isNaN(value));
      expect(missing).toEqual([false, true, false, true]);
      expect(captures.column('swing_id')).toEqual(['W1', 'W2', 'W3']);
      expect(new Set(captures.column('layout')).size).toBe(2);
    });
  });

  it('refuses a manifest with faults, all at once and with their lines, before measuring anything', async () => {
    await inTempFolder(async (root) => {
      const request = await place(root, {
        'a.c3d': swing(1),
        'manifest.csv':
          'file,swing_id,session_id,order_in_session,task,club_speed_mps\n' +
          'a.c3d,W1,V1,1,full,30\n' +
          '../b.c3d,W1,V1,two,putt,\n' +
          'a.c3d,W3,V1,3,full,\n',
      });
      const outcome = await measureFolder(request);
      if (outcome.ok) throw new Error('the manifest is taken');
      const wheres = outcome.problems.map(({ where }) => where);
      for (const place of [
        'manifest.csv line 1',
        'manifest.csv line 3, column file',
        'manifest.csv line 3, column order_in_session',
        'manifest.csv line 3, column task',
        'manifest.csv line 3, column swing_id',
        'manifest.csv line 4, column file',
      ])
        expect(wheres).toContain(place);
      await expect(readFile(join(request.out, 'measure-log.jsonl'))).rejects.toThrow();
    });
  });

  it('fails a capture that a layout does not fit, not the run, and refuses a layout that is none', async () => {
    await inTempFolder(async (root) => {
      const request = await place(root, { 'a.c3d': swing(1), 'b.c3d': swing(2) });
      const landmarks = { ...swingLayout.landmarks, grip: 'NOT_THERE' };
      await writeFile(request.layout, JSON.stringify({ ...swingLayout, landmarks }));
      const result = await measured(request);
      expect(result.failed.map(({ where }) => where)).toEqual([
        'layout /landmarks/grip',
        'layout /landmarks/grip',
      ]);
      await writeFile(request.layout, '{"plays": "both"}');
      const outcome = await measureFolder({ ...request, out: join(root, 'out-2') });
      expect(outcome.ok).toBe(false);
      await expect(readFile(join(root, 'out-2', 'measure-log.jsonl'))).rejects.toThrow();
    });
  });
});

describe('what stands in the new folder', () => {
  it('is never replaced when it is not as the run left it', async () => {
    await inTempFolder(async (root) => {
      const request = await place(root, { 'a.c3d': swing(1) });
      await mkdir(request.out);
      await writeFile(join(request.out, 'swings.csv'), 'mine');
      expect((await measureFolder(request)).ok).toBe(false);
      expect(await snapshot(request.out)).toEqual({ [join(request.out, 'swings.csv')]: 'mine' });

      const out = join(root, 'out-2');
      await measured({ ...request, out });
      await appendFile(join(out, 'swings.csv'), 'a line of mine\n');
      await writeFile(join(request.captures, 'b.c3d'), swing(2));
      const edited = await tablesOf(out);
      const outcome = await measureFolder({ ...request, out });
      expect(outcome.ok ? [] : outcome.problems.map(({ where }) => where)).toEqual([join(out, 'swings.csv')]);
      expect(await tablesOf(out)).toEqual(edited);
    });
  });

  it('grows by the captures that were added, and only they are measured', { timeout: 120_000 }, async () => {
    await inTempFolder(async (root) => {
      const request = await place(root, { 'a.c3d': swing(1), 'b.c3d': swing(2).subarray(0, 90_000) });
      expect((await measured(request)).measured).toBe(1);
      const again = await measured(request);
      expect([again.measured, again.skipped, again.failed.length, again.written]).toEqual([0, 1, 1, []]);
      await writeFile(join(request.captures, 'b.c3d'), swing(2));
      await writeFile(join(request.captures, 'c.c3d'), swing(3));
      await rename(join(request.captures, 'a.c3d'), join(request.captures, 'd.c3d'));
      const grown = await measured(request);
      expect([grown.measured, grown.skipped, grown.failed.length]).toEqual([2, 1, 0]);
      const fresh = await measured({ ...request, out: join(root, 'fresh') });
      expect(fresh.measured).toBe(3);
      expect(await tablesOf(request.out)).toEqual(await tablesOf(join(root, 'fresh')));
      // Another layout measures everything again.
      await writeFile(request.layout, JSON.stringify({ ...swingLayout, markerNoise_mm: 1 }));
      expect((await measured(request)).measured).toBe(3);
    });
  });
});

describe('a run that is killed', () => {
  it('leaves a state from which the next run ends as if nothing had happened', {
    timeout: 120_000,
  }, async () => {
    await inTempFolder(async (root) => {
      const files = Object.fromEntries(
        Array.from({ length: 24 }, (_, i) => [
          `S${i % 2}/sw-${i}.c3d`,
          i === 5 ? 'no capture' : swing(i + 1),
        ]),
      );
      const request = await place(root, files);
      const whole = join(root, 'whole');
      await measured({ ...request, out: whole });
      const expected = await tablesOf(whole);
      const stream = createStream(20311);
      let earlier = 0;
      for (let kill = 0; kill < 4; kill++) {
        const lines = 1 + Math.floor(stream.uniform() * 8);
        await runAndKill(request, lines, stream.uniform() * 20);
        const log = await readFile(join(request.out, 'measure-log.jsonl'), 'utf8').catch(() => '');
        const done = log.split('\n').filter((line) => line.endsWith('}') && line.includes('"key"')).length;
        expect(done).toBeGreaterThanOrEqual(earlier);
        earlier = done;
        for (const [path, text] of Object.entries(await tablesOf(request.out)))
          if (!path.endsWith('.partial')) expect(text).toBe(expected[path]);
      }
      expect(earlier).toBeGreaterThan(0);
      // As if the last kill had come in the middle of a line.
      await appendFile(join(request.out, 'measure-log.jsonl'), '{"key":"cut');
      const result = await measured(request);
      expect(countOf(result)).toBe(24);
      expect(result.failed.length).toBe(1);
      expect(result.skipped).toBeGreaterThan(0);
      const after = await tablesOf(request.out);
      for (const [path, text] of Object.entries(expected)) expect(after[path]).toBe(text);
    });
  });
});

/** Starts a run as a process and kills it a moment after its log has grown by so many lines, or lets it end. */
async function runAndKill(
  { captures, layout, out }: { captures: string; layout: string; out: string },
  lines: number,
  moment_ms: number,
): Promise<void> {
  const child = spawn(
    process.execPath,
    [
      '--import',
      import.meta.resolve('tsx'),
      fileURLToPath(new URL('./measure-folder-child.ts', import.meta.url)),
      captures,
      layout,
      out,
      '2',
    ],
    { stdio: 'ignore' },
  );
  const ended = new Promise<void>((settle) => child.on('exit', () => settle()));
  const linesNow = async (): Promise<number> =>
    (await readFile(join(out, 'measure-log.jsonl'), 'utf8').catch(() => '')).split('\n').length;
  const before = await linesNow();
  let over = false;
  void ended.then(() => {
    over = true;
  });
  while (!over && (await linesNow()) < before + lines) await new Promise((settle) => setTimeout(settle, 5));
  await new Promise((settle) => setTimeout(settle, moment_ms));
  child.kill('SIGKILL');
  await ended;
}
