/** Attacks on an export that need no arithmetic: order, names, what lies beside the tables, captures. */
import { mkdir, readFile, symlink, truncate, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { filesUnder } from '../../../src/dataset/folder-replacement.ts';
import {
  datasetFromRows,
  loadDataset,
  packDataset,
  type RowsInput,
  type Shared,
  sha256Hex,
  shareDataset,
  writeDataset,
} from '../../../src/dataset/index.ts';
import { readCapture, writeC3d, writeCsvCapture } from '../../../src/kinematics/index.ts';
import { createStream } from '../../../src/numerics/index.ts';
import { inTempFolder } from '../roster.ts';
import { zipOf } from './full-folder.ts';
import { cells, people, QUASI, roster, smallest } from './share-roster.ts';

const KEY = new Uint8Array(32).fill(3);
const NAME = 'Zuleika Dobsonova';

async function written(folder: string, rows: RowsInput): Promise<void> {
  const made = datasetFromRows(rows);
  if (!made.valid) throw new Error(JSON.stringify(made.problems));
  await writeDataset(folder, made.value);
}

async function shared(folder: string, out: string, withCaptures = false): Promise<Shared> {
  const made = await shareDataset({ folder, out, scope: 'study', key: KEY, withCaptures });
  if (!made.valid) throw new Error(JSON.stringify(made.problems));
  return made.value;
}

async function contentOf(folder: string): Promise<ReadonlyMap<string, Buffer>> {
  const paths = [...(await filesUnder(folder))!.keys()].filter((path) => !path.endsWith('/'));
  return new Map(
    await Promise.all(paths.map(async (path) => [path, await readFile(join(folder, path))] as const)),
  );
}

/** Every table in an order of its own. */
function shuffled(rows: RowsInput, seed: number): RowsInput {
  const stream = createStream(seed, 'order');
  return Object.fromEntries(
    Object.entries(rows).map(([table, list]) => [
      table,
      [...(list as readonly unknown[])]
        .map((row) => ({ row, at: stream.uniform() }))
        .sort((a, b) => a.at - b.at)
        .map(({ row }) => row),
    ]),
  ) as RowsInput;
}

describe('an attack on an export', () => {
  it('by the order of its rows: the same bytes, whatever the order of the roster', async () => {
    await inTempFolder(async (root) => {
      const rows = roster();
      await written(join(root, 'a'), rows);
      await written(join(root, 'b'), shuffled(rows, 11));
      await shared(join(root, 'a'), join(root, 'a-out'));
      await shared(join(root, 'b'), join(root, 'b-out'));
      expect(await contentOf(join(root, 'b-out'))).toEqual(await contentOf(join(root, 'a-out')));
      const codes = (await readFile(join(root, 'a-out', 'golfers.csv'), 'utf8'))
        .trim()
        .split('\n')
        .slice(1)
        .map((line) => line.split(',')[0]!);
      expect(codes).toEqual([...codes].sort());
      // Nor by the length of a code: the ids may be of any.
      expect(new Set(codes.map((code) => code.length)).size).toBe(1);
    });
  }, 60_000);

  it('by the day of the arm, which is one day of the calendar for everybody: it tells nobody’s first visit', async () => {
    await inTempFolder(async (root) => {
      await written(join(root, 'data'), roster());
      await shared(join(root, 'data'), join(root, 'out'));
      const loaded = await loadDataset(join(root, 'out'));
      if (!loaded.valid) throw new Error(JSON.stringify(loaded.problems));
      const { assignments } = loaded.value.tables;
      const days = new Map(
        assignments
          .column('golfer_id')
          .map((golfer, row) => [golfer, assignments.column('assigned_on')[row]]),
      );
      const rows = people(loaded.value).map((row) => ({
        ...row,
        assigned: days.get(row.golfer_id as string),
        visits: JSON.stringify(row.visits),
      }));
      expect(rows.length).toBeGreaterThan(50);
      expect(smallest(cells(rows, ...QUASI, 'assigned', 'visits'))).toBeGreaterThanOrEqual(5);
    });
  }, 60_000);

  it('by the days of practice: only the visit before is said, and enough share which', async () => {
    await inTempFolder(async (root) => {
      const rows = roster();
      const stream = createStream(5, 'practice');
      const practice = rows.golfers!.flatMap(({ golfer_id }) =>
        Array.from({ length: 1 + stream.integer(0, 5) }, () => ({
          golfer_id,
          date: new Date(Date.UTC(2026, 1, 1) + 86_400_000 * stream.integer(0, 100))
            .toISOString()
            .slice(0, 10),
          reps: 10,
        })),
      );
      await written(join(root, 'data'), { ...rows, practice } as RowsInput);
      await shared(join(root, 'data'), join(root, 'out'));
      const loaded = await loadDataset(join(root, 'out'));
      if (!loaded.valid) throw new Error(JSON.stringify(loaded.problems));
      const out = loaded.value.tables.practice;
      const own = new Map<unknown, Set<string>>();
      out.column('golfer_id').forEach((golfer, row) => {
        own.set(golfer, (own.get(golfer) ?? new Set()).add(out.column('date')[row] ?? ''));
      });
      const said = people(loaded.value).map((row) => ({
        ...row,
        visits: JSON.stringify(row.visits),
        practised: [...(own.get(row.golfer_id) ?? [])].sort().join(),
      }));
      expect(said.length).toBeGreaterThan(20);
      expect(smallest(cells(said, ...QUASI, 'visits', 'practised'))).toBeGreaterThanOrEqual(5);
    });
  }, 60_000);

  it('by what lies beside the tables, what the descriptor says, and hashes of what is known', async () => {
    await inTempFolder(async (root) => {
      const data = join(root, 'data');
      await written(data, roster());
      const descriptor = JSON.parse(await readFile(join(data, 'datapackage.json'), 'utf8')) as object;
      const beside: Record<string, string | Uint8Array> = {
        'datapackage.json': JSON.stringify({
          ...descriptor,
          name: 'zuleika-dobsonova',
          title: `Lessons of ${NAME}`,
          description: NAME,
          sources: [{ title: NAME, path: 'G001.xlsx' }],
          contributors: [{ title: NAME }],
          keywords: [NAME],
        }),
        'README.md': NAME,
        'import-log.jsonl': `{"what":"row","key":"G001","was":"${NAME}"}\n`,
        'erasures.csv': 'erasure\n1\n',
        'plan.json': JSON.stringify({ exclude: [{ golfer: 'G001', why: NAME }] }),
        'notebooks/lesson.ts': `// # ${NAME}\n`,
        'reports/finding.json': JSON.stringify({ golfers: ['G001'], n: 240 }),
        'originals/G001.xlsx': zipOf('docProps/core.xml', `<dc:creator>${NAME}</dc:creator>`),
        'notes/G001.txt': NAME,
      };
      for (const [path, content] of Object.entries(beside)) {
        await mkdir(dirname(join(data, path)), { recursive: true });
        await writeFile(join(data, path), content);
      }
      const before = await contentOf(data);
      await shared(data, join(root, 'out'));
      const out = await contentOf(join(root, 'out'));
      expect([...out.keys()].sort()).toEqual([
        'README.md',
        'assignments.csv',
        'datapackage.json',
        'golfers.csv',
        'sessions.csv',
        'swings.csv',
      ]);
      const known = [NAME, 'zuleika', 'G001', ...[...before.values()].map((bytes) => sha256Hex(bytes))];
      for (const word of [NAME, 'G001']) known.push(sha256Hex(word));
      for (const [path, bytes] of out)
        for (const word of known) expect(bytes.includes(word), `${path}: ${word}`).toBe(false);
    });
  }, 60_000);

  it('by Parquet: a packed roster gives the bytes that its CSV gives, and no statistics of what was left out', async () => {
    await inTempFolder(async (root) => {
      const [data, packed] = [join(root, 'data'), join(root, 'packed')];
      await written(data, roster());
      expect((await packDataset(data, packed)).valid).toBe(true);
      await shared(data, join(root, 'a'));
      await shared(packed, join(root, 'b'));
      const [csv, parquet] = [await contentOf(join(root, 'a')), await contentOf(join(root, 'b'))];
      expect([...parquet.keys()]).toEqual([...csv.keys()]);
      for (const [path, bytes] of csv) expect(parquet.get(path)!.equals(bytes), path).toBe(true);
      // The tall one of 203 cm, and everybody's own days, stand in no packed export either.
      const again = join(root, 'again');
      expect((await packDataset(join(root, 'b'), again)).valid).toBe(true);
      for (const [path, bytes] of await contentOf(again))
        for (const word of ['G018', '2026-02', '70-79']) expect(bytes.includes(word), path).toBe(false);
    });
  }, 60_000);
});

describe('captures in an export', () => {
  const shape = { rateHz: 240, coordinates: Float64Array.from({ length: 18 }, (_, i) => i / 10) };

  it('carry no name, be it in the file’s name, in labels, in parameters or in columns of a CSV file', async () => {
    await inTempFolder(async (root) => {
      const data = join(root, 'data');
      const rows = roster();
      const layout = JSON.stringify({ note: NAME, points: { elbow: `${NAME}:LELB`, wrist: 'G001:LWRA' } });
      const c3d = writeC3d({
        ...shape,
        labels: ['G001:LELB', `${NAME}:LWRA`],
        groupEvents: [{ label: NAME, context: 'G001', time_s: 0.001 }],
      });
      // A further parameter with the names of subjects, as many systems write one.
      const named = withSubject(c3d, NAME);
      const csv = writeCsvCapture({
        ...shape,
        firstFrame: 1,
        labels: [`${NAME}:LELB`, 'G001:LWRA'],
        unit: 'm',
      });
      const files: Record<string, string | Uint8Array> = {
        'motion/G001 Zuleika Dobsonova.c3d': named,
        'motion/G002.csv': csv,
        'motion/layout of Zuleika.json': layout,
      };
      const captures = rows.swings!.slice(0, 300).map(({ swing_id }, k) => {
        const file = Object.keys(files)[k % 2]!;
        return { swing_id, file, sha256: sha256Hex(files[file]!), layout: 'motion/layout of Zuleika.json' };
      });
      await written(data, { ...rows, captures } as RowsInput);
      for (const [path, content] of Object.entries(files)) {
        await mkdir(dirname(join(data, path)), { recursive: true });
        await writeFile(join(data, path), content);
      }
      const made = await shared(data, join(root, 'out'), true);
      expect(made.captures).toBeGreaterThan(50);
      expect(made.capturesLeftOut).toEqual([]);
      let read = 0;
      for (const [path, bytes] of await contentOf(join(root, 'out'))) {
        for (const word of [NAME, 'Zuleika', 'G001', 'G002', sha256Hex(named), sha256Hex(csv)])
          expect(`${path}\n${bytes.toString('latin1')}`.includes(word), `${path}: ${word}`).toBe(false);
        if (!/\.(c3d|csv)$/.test(path) || !path.startsWith('captures/')) continue;
        const capture = readCapture(bytes, path);
        if (!capture.ok) throw new Error(path);
        expect(capture.value.capture.labels).toEqual(['LELB', 'LWRA']);
        expect(capture.value.capture.events).toEqual([]);
        read += 1;
      }
      expect(read).toBe(made.captures);
    });
  }, 60_000);

  it('that are links, that lead out, are huge or are none are left out, and said', async () => {
    await inTempFolder(async (root) => {
      const data = join(root, 'data');
      const rows = roster();
      const hash = 'a'.repeat(64);
      const files = ['motion/link.c3d', 'motion/huge.c3d', 'motion/text.c3d', 'motion/gone.c3d'];
      const captures = rows.swings!.slice(0, 400).map(({ swing_id }, k) => ({
        swing_id,
        file: files[k % files.length]!,
        sha256: hash,
        layout: null,
      }));
      await written(data, { ...rows, captures } as unknown as RowsInput);
      await mkdir(join(data, 'motion'));
      await writeFile(join(root, 'secret.c3d'), writeC3d({ ...shape, labels: ['SECRET1', 'SECRET2'] }));
      await symlink('../../secret.c3d', join(data, 'motion/link.c3d'));
      await writeFile(join(data, 'motion/huge.c3d'), '');
      await truncate(join(data, 'motion/huge.c3d'), 2 ** 31 + 1);
      await writeFile(join(data, 'motion/text.c3d'), 'no capture');
      const made = await shared(data, join(root, 'out'), true);
      expect(made.captures).toBe(0);
      expect([...new Set(made.capturesLeftOut)].sort()).toEqual([...files].sort());
      for (const [path, bytes] of await contentOf(join(root, 'out')))
        expect(bytes.includes('SECRET'), path).toBe(false);
    });
  }, 60_000);

  it.each(['../secret.c3d', 'a/../../secret.c3d', '/etc/passwd', 'C:\\x.c3d'])(
    'of the place %s are refused with the whole dataset, and nothing is written',
    async (file) => {
      await inTempFolder(async (root) => {
        const data = join(root, 'data');
        const rows = roster();
        await written(data, rows);
        const { swing_id } = rows.swings![0]!;
        await writeFile(
          join(data, 'captures.csv'),
          `swing_id,file,sha256,layout\n${swing_id},${file},${'a'.repeat(64)},\n`,
        );
        const made = await shareDataset({
          folder: data,
          out: join(root, 'out'),
          scope: 'study',
          withCaptures: true,
        });
        expect(made.valid).toBe(false);
        expect(await filesUnder(join(root, 'out'))).toBeNull();
      });
    },
  );
});

/** Writes a text over spaces of a description in the parameters of a C3D file, or into its header, where it has room. */
function withSubject(c3d: Uint8Array, text: string): Uint8Array {
  const bytes = Buffer.from(c3d);
  // Bytes 300 and on of the header are for labels of events, and are reserved: nobody's positions.
  bytes.write(text, 310, 'latin1');
  return bytes;
}
