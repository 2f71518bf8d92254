import { execFileSync } from 'node:child_process';
import { readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { filesUnder } from '../../../src/dataset/folder-replacement.ts';
import { checkMapping, importFile, type Mapping } from '../../../src/dataset/import/index.ts';
import { readXlsx } from '../../../src/dataset/import/read-xlsx.ts';
import type { CellKind } from '../../../src/dataset/import/sheet.ts';
import {
  eraseGolfer,
  loadDataset,
  pseudonymise,
  sha256Hex,
  shareDataset,
} from '../../../src/dataset/index.ts';
import { writeValues } from '../../../src/dataset/privacy/imports/write-values.ts';
import { saidBy } from '../import/importing.ts';
import { inTempFolder } from '../roster.ts';
import { fullFolder, writeFiles } from './full-folder.ts';
import { ALONE, book, DAY, GONE, importedFolder, NAMES } from './imported-folder.ts';

const SCANNER = fileURLToPath(new URL('./naive_scan.py', import.meta.url));

/** What a scanner that shares no code with the project finds. */
function found(folder: string, ...words: readonly string[]): string[] {
  return execFileSync('python3', [SCANNER, folder, ...words], { encoding: 'utf8' })
    .split('\n')
    .filter(Boolean);
}

/** Everything that is told of the golfer who goes and of nobody else. */
const TOLD = [
  GONE,
  ...NAMES.gone,
  'Jürg Tannwald',
  'Tannwald, Jürg',
  'J TANNWALD',
  'JUERG_TANNWALD',
  'sore knee',
  'second line',
  'secret of the golfer who goes',
  'pays on Fridays',
  '84.25',
];

type LogLine = Readonly<Record<string, unknown>>;

async function logOf(data: string): Promise<LogLine[]> {
  const text = await readFile(join(data, 'import-log.jsonl'), 'utf8');
  return text
    .trim()
    .split('\n')
    .map((line) => JSON.parse(line) as LogLine);
}

async function keptMappings(data: string): Promise<{ mapping: Mapping; source: Uint8Array }[]> {
  const names = await readdir(join(data, 'originals'));
  const kept = names.filter((name) => name.endsWith('.json')).sort();
  return Promise.all(
    kept.map(async (name) => {
      const checked = checkMapping(JSON.parse(await readFile(join(data, 'originals', name), 'utf8')));
      if (!checked.ok) throw new Error(JSON.stringify(checked.problems));
      const sheet = names.find((one) => one.startsWith(name.slice(0, 64)) && !one.endsWith('.json'))!;
      return { mapping: checked.mapping, source: await readFile(join(data, 'originals', sheet)) };
    }),
  );
}

async function erased(
  work: (data: string, before: Awaited<ReturnType<typeof keptMappings>>) => Promise<void>,
) {
  await inTempFolder(async (root) => {
    const data = await importedFolder(root);
    const before = await keptMappings(data);
    const outcome = await eraseGolfer(data, GONE);
    if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
    await work(data, before);
  });
}

describe('eraseGolfer, of a folder that was filled by imports', () => {
  it('leaves no byte of the id, the name in any spelling, or the rows; and everything of the others', async () => {
    await inTempFolder(async (root) => {
      const data = await importedFolder(root);
      const before = found(data, ...TOLD);
      for (const word of TOLD) expect(before.some((place) => place.includes(`: ${word} in`))).toBe(true);
      const stays = found(data, ...NAMES.stays).length;
      const outcome = await eraseGolfer(data, GONE);
      if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
      expect(found(data, ...TOLD)).toEqual([]);
      expect(outcome.value).toMatchObject({ names: 4, namesNotSought: [] });
      expect(outcome.value.removed.map((path) => path.replace(/[0-9a-f]{64}/, sha256Hex(ALONE)))).toEqual([
        'exports/old.xlsx',
        'notebook/day.html',
        'notebook/day.ipynb',
        'notebook/day.pdf',
        'old.tsv.gz',
        `originals/${sha256Hex(ALONE)}.csv`,
      ]);
      expect(found(data, ...NAMES.stays).length).toBeGreaterThan(stays / 2);
      expect(await readFile(join(data, 'notes.txt'), 'utf8')).toBe(
        'Mia came early.\nMia Oke-Tannwald is his sister.\n',
      );
      const loaded = await loadDataset(data);
      if (!loaded.valid) throw new Error(JSON.stringify(loaded.problems));
      expect(loaded.value.tables.swings.length).toBe(6);
      // The workbook is one for other programs too: Python unpacks it, and every part is XML.
      const names = (await readdir(join(data, 'originals'))).filter((name) => name.endsWith('.xlsx'));
      const script =
        'import zipfile,sys,xml.dom.minidom as d\nz=zipfile.ZipFile(sys.argv[1])\nassert z.testzip() is None\nfor n in z.namelist(): d.parseString(z.read(n))';
      for (const name of names) execFileSync('python3', ['-c', script, join(data, 'originals', name)]);
    });
  });

  it('keeps the log true: rows are imported, joined, there, left out or erased, and it says not whose', async () => {
    await erased(async (data) => {
      const log = await logOf(data);
      const files = log.filter(({ what }) => what === 'file');
      expect(files.map(({ rows, imported, erased: gone }) => [rows, imported, gone])).toEqual([
        [7, 4, 3],
        [4, 2, 2],
        [2, 0, 2],
      ]);
      for (const file of files) {
        const of = log.filter((line) => line.import === file.import && line.what === 'row');
        const counts = ['imported', 'joined', 'alreadyThere', 'leftOut'].map((name) => Number(file[name]));
        expect(counts.reduce((a, b) => a + b) + Number(file.erased)).toBe(file.rows);
        expect(of.length).toBe(Number(file.rows) - Number(file.erased));
      }
      expect(files[0]!.erased_lines).toEqual([4, 6, 9]);
      expect(log.some(({ what }) => what === 'cell')).toBe(false);
      // What the log says of a file is what the file is.
      for (const { original, source_sha256, mapping_sha256 } of files.slice(0, 2)) {
        const [sheet, mapping] = (await readdir(join(data, 'originals')))
          .filter((name) => `originals/${name}`.startsWith(String(original)))
          .sort((a, b) => a.length - b.length);
        expect(sha256Hex(await readFile(join(data, 'originals', sheet!)))).toBe(source_sha256);
        const text = await readFile(join(data, 'originals', mapping!), 'utf8');
        expect(sha256Hex(text.trimEnd())).toBe(mapping_sha256);
      }
    });
  });

  it('can be imported anew from what is left, without the golfer', async () => {
    await erased(async (data) => {
      const there = await loadDataset(data);
      if (!there.valid) throw new Error('invalid');
      for (const { mapping, source } of await keptMappings(data)) {
        const again = await importFile({ mapping, source, data });
        expect(again.ok && again.value.why).toContain('was imported with the same mapping before');
      }
      const fresh = join(data, '..', 'fresh');
      for (const { mapping, source } of (await keptMappings(data)).sort((a) =>
        a.mapping.reading.delimiter ? -1 : 1,
      )) {
        const golfers = mapping.golfers.map((golfer) =>
          mapping.reading.delimiter ? { ...golfer, status: 'new' as const } : golfer,
        );
        const result = await importFile({ mapping: { ...mapping, golfers }, source, data: fresh });
        if (!result.ok) throw new Error(JSON.stringify(result.problems));
        expect(result.value.leftOut).toEqual([]);
      }
      const made = await loadDataset(fresh);
      if (!made.valid) throw new Error(JSON.stringify(made.problems));
      const speeds = (one: typeof made.value) =>
        Object.fromEntries(
          [...one.tables.swings.rows()].map(({ swing_id, club_speed_mps }) => [swing_id, club_speed_mps]),
        );
      expect(speeds(made.value)).toEqual(speeds(there.value));
    });
  });

  it('refuses the old files in words, with the lines, and no other file', async () => {
    await erased(async (data, before) => {
      const untouched = await logOf(data);
      for (const { mapping, source } of before) {
        const back = await importFile({ mapping, source, data });
        expect(back.ok).toBe(false);
        expect(saidBy(back)).toContain('rows that were erased from this dataset');
        expect(back.ok ? '' : back.problems.map(({ found, remedy }) => found + remedy).join()).not.toMatch(
          /tannwald|G07/i,
        );
      }
      const day = before.find(({ source }) => sha256Hex(source) === sha256Hex(DAY))!;
      expect(saidBy(await importFile({ ...day, data }))).toContain('line 4, 6, 9');
      // With a row added at the end, as somebody goes on in a sheet of last week.
      const longer = Buffer.concat([DAY, Buffer.from('2026-03-11;Mia Oke;left;78,5;\r\n')]);
      expect(saidBy(await importFile({ ...day, source: longer, otherFile: true, data }))).toContain(
        'line 4, 6, 9',
      );
      expect(await logOf(data)).toEqual(untouched);
      const other = Buffer.from(
        ALONE.toString().replaceAll('2026-03-06', '2026-04-01').replace('84.25', '70'),
      );
      const alone = before.find(({ source }) => sha256Hex(source) === sha256Hex(ALONE))!;
      const golfers = [{ ...alone.mapping.golfers[0]!, golfer_id: 'G11', plays: null }];
      const mapping = {
        ...alone.mapping,
        golfers,
        columns: alone.mapping.columns.map((column) =>
          column.to === 'golfers.plays' ? { ...column, to: null } : column,
        ),
      };
      expect((await importFile({ mapping, source: other, otherFile: true, data })).ok).toBe(true);
    });
  });

  it('says of a spelling that is another golfer’s too that it is not looked for', async () => {
    await inTempFolder(async (root) => {
      const data = await importedFolder(root);
      const file = join(data, 'proposals/mapping.json');
      const mapping = JSON.parse(await readFile(file, 'utf8'));
      mapping.golfers.push({
        golfer_id: 'G20',
        written: ['J. Tannwald'],
        plays: 'left',
        status: 'new',
        reason: '',
      });
      await writeFiles(data, { 'proposals/mapping.json': JSON.stringify(mapping) });
      const outcome = await eraseGolfer(data, GONE);
      expect(outcome.ok && outcome.value).toMatchObject({ names: 3, namesNotSought: ['J. Tannwald'] });
      // The row of the sheet goes all the same: there the mapping says whose it is.
      expect(
        outcome.ok && Object.entries(outcome.value.rows).find(([path]) => path.endsWith('.xlsx'))?.[1],
      ).toBe(2);
    });
  });

  it('answers to a name with the code', async () => {
    await inTempFolder(async (root) => {
      const outcome = await eraseGolfer(await importedFolder(root), 'Jürg Tannwald');
      expect(outcome.ok ? '' : outcome.problems[0]!.remedy).toContain('a mapping gives this name to G07');
      expect(outcome.wrongWord).toBe(true);
    });
  });
});

describe('eraseGolfer, of files larger than what is held in memory', () => {
  /** Everything in a folder by path. */
  async function contentOf(folder: string): Promise<Record<string, string>> {
    const paths = [...(await filesUnder(folder))!.keys()].filter((path) => !path.endsWith('/'));
    return Object.fromEntries(
      await Promise.all(paths.map(async (path) => [path, await readFile(join(folder, path), 'latin1')])),
    );
  }

  it.each([7, 64, 1000])('leaves the same folder when it reads %i bytes at a time', async (pieceBytes) => {
    await inTempFolder(async (root) => {
      const sizes = { pieceBytes, mostHeldBytes: 2 ** 28 };
      for (const [name, golfer] of [
        ['full', 'G1'],
        ['imported', GONE],
      ] as const) {
        const folders = [join(root, name, 'a'), join(root, name, 'b')];
        for (const [index, folder] of folders.entries()) {
          const data = name === 'full' ? join(folder, 'data') : await importedFolder(folder);
          if (name === 'full') await writeFiles(data, fullFolder());
          const outcome = await eraseGolfer(data, golfer, index === 0 ? {} : { sizes });
          if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
        }
        const [whole, pieces] = await Promise.all(folders.map((folder) => contentOf(join(folder, 'data'))));
        expect(pieces).toEqual(whole);
      }
    });
  });
});

describe('what is written for others of a folder that was filled by imports', () => {
  it('has no original, no log, no mapping, no name and no id', async () => {
    await inTempFolder(async (root) => {
      const data = await importedFolder(root);
      const everybody = [
        ...TOLD.slice(0, 8),
        ...NAMES.stays,
        'G11',
        'G12',
        sha256Hex(DAY),
        sha256Hex(book()),
      ];
      // A name in a column that the dictionary knows.
      const sessions = join(data, 'sessions.csv');
      const lines = (await readFile(sessions, 'utf8')).trimEnd().split('\n');
      await writeFiles(data, {
        'sessions.csv': lines
          .map((line, k) => `${line},${k === 0 ? 'device' : 'camera of Mia Oke'}\n`)
          .join(''),
      });
      expect(found(data, ...everybody).length).toBeGreaterThan(30);
      const coded = await pseudonymise(data, join(root, 'coded'), new Uint8Array(32).fill(3));
      if (!coded.valid) throw new Error(JSON.stringify(coded.problems));
      expect(found(join(root, 'coded'), ...everybody)).toEqual([]);
      expect((await readdir(join(root, 'coded'))).sort()).toEqual([
        'datapackage.json',
        'golfers.csv',
        'sessions.csv',
        'swings.csv',
      ]);
      expect(coded.value.filesLeftOut).toContain('import-log.jsonl');
      // Two of each, so that the three do not stand out: ten golfers of the same kind, with the same names beside them.
      const golfers = await readFile(join(data, 'golfers.csv'), 'utf8');
      const more = Array.from({ length: 12 }, (_, k) => `H${k + 10}`);
      await writeFiles(data, {
        'golfers.csv': `golfer_id,plays,consent_scope,age_band\n${[
          ...golfers
            .trim()
            .split('\n')
            .slice(1)
            .map((row) => row.split(',')[0]!),
          ...more,
        ]
          .map((id) => `${id},right,share,30-39\n`)
          .join('')}`,
        'sessions.csv': `session_id,golfer_id,date,phase,device\n${[...lines.slice(1).map((line) => line.split(',').slice(0, 4).join(',')), ...more.map((id) => `${id}-1,${id},2026-03-04,baseline`)].map((line) => `${line},camera of Mia Oke\n`).join('')}`,
      });
      const shared = await shareDataset({ folder: data, out: join(root, 'shared'), scope: 'share' });
      if (!shared.valid) throw new Error(JSON.stringify(shared.problems));
      expect(found(join(root, 'shared'), ...everybody, ...more)).toEqual([]);
    });
  });
});

describe('a workbook of values', () => {
  it('is read again as the sheets it was written from', () => {
    const cell = fc.oneof(
      fc.record({
        text: fc.string({ unit: 'binary', minLength: 1, maxLength: 8 }),
        kind: fc.constant<CellKind>('text'),
      }),
      fc
        .constantFrom('_x0041_', ' a ', '\r\n', '\u0001', '\ud800', '<&">')
        .map((text) => ({ text, kind: 'text' as CellKind })),
      fc
        .double({ noNaN: true, noDefaultInfinity: true })
        .map((value) => ({ text: String(Object.is(value, -0) ? 0 : value), kind: 'number' as CellKind })),
      fc
        .constantFrom('2026-03-04', '2026-03-04 10:30:00', '10:30:00')
        .map((text) => ({ text, kind: 'date' as CellKind })),
      fc.constant({ text: '#DIV/0!', kind: 'error' as CellKind }),
      fc.constant({ text: '', kind: 'text' as CellKind }),
    );
    const row = fc.array(cell, { minLength: 1, maxLength: 30 });
    fc.assert(
      fc.property(fc.array(row, { maxLength: 5 }), fc.boolean(), (drawn, hidden) => {
        const rows = drawn.flatMap((cells, index) => {
          const last = cells.findLastIndex(({ text }) => text !== '');
          if (last < 0) return [];
          const own = cells.slice(0, last + 1);
          return [
            {
              line: 3 * index + 2,
              hidden: index === 1,
              cells: own.map(({ text }) => text),
              kinds: own.map(({ kind }) => kind),
            },
          ];
        });
        const sheet = {
          name: 'A & "B"',
          hidden,
          rows,
          merged: [{ rows: [1, 1] as const, columns: [2, 28] as const }],
          hiddenColumns: [3],
        };
        const [read] = readXlsx(writeValues([sheet]));
        expect({ ...read, rows: [...read!.rows] }).toEqual({ ...sheet, formulas: 0 });
      }),
      { numRuns: 200, seed: 8 },
    );
  });
});
