import { execFileSync } from 'node:child_process';
import { mkdir, readFile, stat, symlink, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { filesUnder } from '../../../src/dataset/folder-replacement.ts';
import { codesFor, loadDataset, possibleCodes, pseudonymise, readKey } from '../../../src/dataset/index.ts';
import { shortestApart } from '../../../src/dataset/privacy/codes.ts';
import { readC3d, writeC3d } from '../../../src/kinematics/index.ts';
import { inTempFolder } from '../roster.ts';
import { writeFiles } from './full-folder.ts';

const DEMO = fileURLToPath(new URL('../../../synthetic/demo', import.meta.url));
const KEY = new Uint8Array(32).fill(7);

describe('codes', () => {
  // Worked out apart from the project with Python 3.11 (hmac, hashlib): HMAC-SHA-256 of "golfer\0G01" and so on under
  // 32 bytes of 7, its bits in fives into 0123456789ABCDEFGHJKMNPQRSTVWXYZ.
  it('are the beginning of the keyed hash', () => {
    const codes = codesFor(KEY, 'golfer', ['G01', 'Zoë']);
    expect(codes.get('G01')).toBe('P5WYEPC');
    expect(codes.get('Zoë')).toBe('PCE12HY');
    expect(codesFor(KEY, 'session', ['G01-S1']).get('G01-S1')).toBe('S9KBN');
    expect(possibleCodes(KEY, 'golfer', 'G01').at(-1)).toBe('P5WYEPCEBRX60');
  });

  it('do not depend on the order of the ids, nor on how an accent is composed', () => {
    const ids = Array.from({ length: 500 }, (_, i) => `G${i}`);
    const codes = codesFor(KEY, 'golfer', ids);
    expect(new Set(codes.values()).size).toBe(500);
    expect([...codesFor(KEY, 'golfer', [...ids].reverse())].sort()).toEqual([...codes].sort());
    expect([...codesFor(KEY, 'golfer', ['Zoe\u0308']).values()]).toEqual([
      codesFor(KEY, 'golfer', ['Zoë']).get('Zoë'),
    ]);
    for (const [id, code] of codes) expect(possibleCodes(KEY, 'golfer', id)).toContain(code);
  });

  it('all grow where two would be the same, and no other does', () => {
    const letters: Readonly<Record<string, string>> = { a: 'AAAAX', b: 'AAAAY', c: 'AAABX', d: 'CCCCC' };
    expect([...shortestApart(['a', 'b', 'c', 'd'], 2, (id) => letters[id]!, 'P')].sort()).toEqual([
      ['a', 'PAAAAX'],
      ['b', 'PAAAAY'],
      ['c', 'PAAAB'],
      ['d', 'PCC'],
    ]);
    expect(() => shortestApart(['a', 'a2'], 2, () => 'AAAAA', 'P')).toThrow('are one id');
  });
});

describe('the key', () => {
  it('is made once, for its owner alone, and read again', async () => {
    await inTempFolder(async (root) => {
      const file = join(root, 'keys', 'roster.key');
      const where = { dataset: join(root, 'data') };
      const absent = await readKey(file, where);
      expect(absent.ok ? '' : absent.problems[0]!.found).toContain('no file');
      const made = await readKey(file, { ...where, make: true });
      const read = await readKey(file, { ...where, make: true });
      expect(made.ok && read.ok && Buffer.from(made.value.bytes).equals(read.value.bytes)).toBe(true);
      expect([made.ok && made.value.isNew, read.ok && read.value.isNew]).toEqual([true, false]);
      expect((await stat(file)).mode & 0o077).toBe(0);
    });
  });

  it('is refused inside the dataset and inside what is handed on, also behind a link, and when it is short', async () => {
    await inTempFolder(async (root) => {
      const dataset = join(root, 'data');
      await mkdir(join(dataset, 'sub'), { recursive: true });
      await symlink(dataset, join(root, 'link'));
      await writeFile(join(root, 'short.key'), 'secret\n\n');
      for (const file of ['data/k', 'data/sub/k', 'link/k', 'out/k', 'data/../data/k']) {
        const key = await readKey(join(root, file), { dataset, others: [join(root, 'out')], make: true });
        expect(key.ok ? '' : key.problems[0]!.found).toContain('inside');
      }
      const short = await readKey(join(root, 'short.key'), { dataset });
      expect(short.ok ? '' : short.problems[0]!.found).toContain('6 bytes');
    });
  });
});

describe('pseudonymise', () => {
  it('replaces every id, keeps every value, and gives the same bytes again', async () => {
    await inTempFolder(async (root) => {
      const [out, again] = [join(root, 'out'), join(root, 'again')];
      const made = await pseudonymise(DEMO, out, KEY);
      if (!made.valid) throw new Error(JSON.stringify(made.problems));
      await pseudonymise(DEMO, again, KEY);
      expect(made.value.filesLeftOut).toEqual(['README.md', 'plan.json', 'truth.json']);
      const [before, after] = [await loadDataset(DEMO), await loadDataset(out)];
      if (!before.valid || !after.valid) throw new Error('invalid');
      const ids = [...before.value.tables.golfers.column('golfer_id'), 'I1', 'I2', 'I3'].map(String);
      const scanner = fileURLToPath(new URL('./naive_scan.py', import.meta.url));
      const places = execFileSync('python3', [scanner, out, ...ids], { encoding: 'utf8' }).split('\n');
      // The dictionary in the descriptor has examples of its own: G01, I2.
      expect(places.filter((place) => !/^datapackage\.json: (G01|I2) |^$/.test(place))).toEqual([]);
      const codes = codesFor(KEY, 'golfer', ids.slice(0, -3));
      const byGolfer = (
        tables: typeof before.value.tables,
        code: (id: string) => string,
      ): Map<string, string[]> => {
        const owner = new Map(
          tables.sessions.column('session_id').map((s, r) => [s, tables.sessions.column('golfer_id')[r]]),
        );
        const values = new Map<string, string[]>();
        const { swings } = tables;
        for (let row = 0; row < swings.length; row += 1) {
          const golfer = code(String(owner.get(swings.column('session_id')[row] ?? '')));
          const numbers = [
            swings.column('order_in_session'),
            swings.column('shaft_lean_impact_deg'),
            swings.column('club_speed_mps'),
          ];
          values.set(golfer, [...(values.get(golfer) ?? []), numbers.map((column) => column[row]).join(' ')]);
        }
        for (const list of values.values()) list.sort();
        return new Map([...values].sort());
      };
      expect(byGolfer(after.value.tables, (id) => id)).toEqual(
        byGolfer(before.value.tables, (id) => codes.get(id) ?? ''),
      );
      for (const file of ['golfers.csv', 'sessions.csv', 'swings.csv', 'datapackage.json'])
        expect(await readFile(join(again, file))).toEqual(await readFile(join(out, file)));
      // The order of the rows tells nothing of the old ids.
      const order = after.value.tables.golfers.column('golfer_id').map(String);
      expect(order).toEqual([...order].sort());
    });
  });

  it('leaves extra columns behind, renames captures, and frees them of names, keeping each position', async () => {
    await inTempFolder(async (root) => {
      const folder = join(root, 'data');
      const c3d = writeC3d({
        rateHz: 240,
        labels: ['Anna Smith:LELB', 'Anna Smith:EXTRA'],
        coordinates: Float64Array.from({ length: 18 }, (_, i) => i / 7),
        groupEvents: [{ label: 'impact', context: 'Anna Smith', time_s: 0.5 }],
        headerEvents: [{ label: 'ANNA', time_s: 0.1 }],
      });
      await writeFiles(folder, {
        'golfers.csv': 'golfer_id,plays,name\nanna,right,Anna Smith\n',
        'sessions.csv':
          'session_id,golfer_id,date,phase,device\nanna-1,anna,2026-03-01,baseline,cam of anna\n',
        'swings.csv': 'swing_id,session_id,order_in_session,task\nanna-1-1,anna-1,1,full\n',
        'captures.csv': `swing_id,file,sha256,layout\nanna-1-1,c/anna.c3d,${'0'.repeat(64)},layout.json\n`,
        'curves.csv': 'swing_id,quantity,time_pct,value_deg\nanna-1-1,lag_angle,0,90\n',
        'layout.json':
          '{"note":"Anna Smith","landmarks":{"lead_elbow":"Anna Smith:LELB"},"instants":{"impact":"impact"}}',
        'c/anna.c3d': Buffer.from(c3d),
      });
      const out = join(root, 'out');
      const made = await pseudonymise(folder, out, KEY);
      if (!made.valid) throw new Error(JSON.stringify(made.problems));
      expect(made.value).toMatchObject({ captures: 1, columnsLeftOut: ['golfers.name'], filesLeftOut: [] });
      for (const path of (await filesUnder(out))!.keys()) {
        const content = await readFile(join(out, path), 'latin1');
        expect(`${path} ${content}`.toLowerCase()).not.toMatch(/anna|smith/);
      }
    });
    await inTempFolder(async (root) => {
      const bytes = writeC3d({
        rateHz: 240,
        labels: ['X:LELB'],
        coordinates: Float64Array.of(1, 2, 3.5, 4, 5, 6),
      });
      const folder = join(root, 'data');
      await writeFiles(folder, {
        'golfers.csv': 'golfer_id,plays\nG1,right\n',
        'sessions.csv': 'session_id,golfer_id,date,phase\nS1,G1,2026-03-01,baseline\n',
        'swings.csv': 'swing_id,session_id,order_in_session,task\nW1,S1,1,full\n',
        'captures.csv': `swing_id,file,sha256,layout\nW1,a.c3d,${'0'.repeat(64)},layout.json\n`,
        'layout.json': '{"landmarks":{"lead_elbow":"X:LELB"}}',
        'a.c3d': Buffer.from(bytes),
      });
      await pseudonymise(folder, join(root, 'out'), KEY);
      const loaded = await loadDataset(join(root, 'out'));
      if (!loaded.valid) throw new Error(JSON.stringify(loaded.problems));
      const read = readC3d(
        await readFile(join(root, 'out', loaded.value.tables.captures.column('file')[0] ?? '')),
      );
      if (!read.ok) throw new Error('unreadable');
      expect([...read.capture.coordinates]).toEqual([1, 2, 3.5, 4, 5, 6]);
      expect(read.capture.labels).toEqual(['LELB']);
      expect(read.capture.rateHz).toBe(240);
    });
  });
});
