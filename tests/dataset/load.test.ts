import { createHash } from 'node:crypto';
import { mkdir, symlink, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { loadDataset } from '../../src/dataset/index.ts';
import { edited, inTempFolder, loadFiles, problemsWith, ROSTER } from './roster.ts';

const text = (file: string) => ROSTER[file] ?? '';

describe('a folder that reads well', () => {
  it('gives columns, rows, lines, hashes and the newest date', async () => {
    const loaded = await loadFiles(ROSTER);
    if (!loaded.valid) throw new Error('the roster must be valid');
    const { tables, files, given, newestDate, title } = loaded.value;
    expect(tables.swings.column('shaft_lean_impact_deg')).toEqual(
      Float64Array.of(2.5, Number.NaN, 6.25, -1.5),
    );
    expect(tables.swings.column('ground_first')).toEqual(Float64Array.of(1, 0, 0, Number.NaN));
    expect(tables.sessions.column('phase')).toEqual(['baseline', 'post', 'baseline']);
    expect(tables.golfers.column('height_cm')).toEqual(Float64Array.of(178, Number.NaN));
    expect(tables.swings.column('attack_angle_deg')).toEqual(new Float64Array(4).fill(Number.NaN));
    expect(tables.swings.has('attack_angle_deg')).toBe(false);
    expect(tables.swings.row(3)).toMatchObject({
      swing_id: 'W4',
      ground_first: null,
      club: null,
      club_speed_mps: 40.2,
    });
    expect(tables.swings.line(3)).toBe(5);
    expect(tables.practice.length).toBe(0);
    expect(given).toEqual(['golfers', 'sessions', 'swings']);
    expect(newestDate).toBe('2026-04-20');
    expect(title).toBeNull();
    expect(files.map(({ file }) => file)).toEqual(['golfers.csv', 'sessions.csv', 'swings.csv']);
    expect(files[0]?.sha256).toBe(createHash('sha256').update(text('golfers.csv')).digest('hex'));
  });

  it.each([
    ['a byte-order mark', (csv: string) => `\uFEFF${csv}`],
    ['\\r\\n at the end of lines', (csv: string) => csv.replaceAll('\n', '\r\n')],
    ['\\r alone at the end of lines', (csv: string) => csv.replaceAll('\n', '\r')],
    ['line ends of both kinds', (csv: string) => csv.replace('\n', '\r\n')],
    ['no line end at the end', (csv: string) => csv.trimEnd()],
    ['empty lines and lines of commas', (csv: string) => `${csv}\n,,,,,\n\n`],
    ['quotes round every cell', (csv: string) => csv.replace(/[^,\n]+/g, '"$&"')],
  ])('whatever its form: %s', async (_what, change) => {
    const plain = await loadFiles(ROSTER);
    const loaded = await loadFiles(
      Object.fromEntries(Object.entries(ROSTER).map(([file, csv]) => [file, change(csv)])),
    );
    expect(loaded.problems).toEqual([]);
    if (!loaded.valid || !plain.valid) throw new Error('both must be valid');
    expect([...loaded.value.tables.swings.rows()]).toEqual([...plain.value.tables.swings.rows()]);
    expect([...loaded.value.tables.golfers.rows()]).toEqual([...plain.value.tables.golfers.rows()]);
  });

  it('counts lines past quoted line breaks and empty lines', async () => {
    const problems = await problemsWith({
      'swings.csv':
        'swing_id,session_id,order_in_session,task,note\nW1,S1,1,full,"two\nlines, and a ""quote"""\n\nW2,S1,2,full,\nW3,S1,x,full,\n',
    });
    expect(problems.filter(({ kind }) => kind === 'not-a-number')).toEqual([
      expect.objectContaining({ row: 6, column: 'order_in_session', found: 'x' }),
    ]);
  });

  it('keeps a column of its own and says that it is not used', async () => {
    const loaded = await loadFiles({
      ...ROSTER,
      'golfers.csv': 'golfer_id,plays,favourite\nG01,right,"a, b"\nG02,left,\n',
    });
    if (!loaded.valid) throw new Error('a column more is no error');
    expect(loaded.problems).toEqual([
      expect.objectContaining({
        kind: 'unknown-column',
        severity: 'warning',
        table: 'golfers',
        row: 1,
        column: 'favourite',
      }),
    ]);
    expect(loaded.value.tables.golfers.text('favourite')).toEqual(['a, b', null]);
    expect(loaded.value.tables.golfers.extraColumns).toEqual(['favourite']);
  });
});

describe('headers', () => {
  it('names each missing column, and no more than it', async () => {
    const problems = await problemsWith({ 'golfers.csv': 'golfer_id\nG01\nG02\n' });
    expect(problems).toEqual([
      {
        kind: 'missing-column',
        severity: 'error',
        table: 'golfers',
        row: null,
        column: 'plays',
        found: 'no column plays',
        expected: 'a column plays: right or left handed: the side the golfer plays from, not writes with.',
        remedy: 'Add the column plays to golfers.csv and fill it in.',
      },
    ]);
  });

  it('sees a needed column under another spelling', async () => {
    const problems = await problemsWith(edited('sessions.csv', 'golfer_id', 'Golfer ID'));
    expect(problems).toHaveLength(1);
    expect(problems[0]).toMatchObject({
      kind: 'missing-column',
      severity: 'error',
      row: 1,
      column: 'golfer_id',
      found: 'Golfer ID',
      remedy: 'Write the name of the column as golfer_id.',
    });
  });

  it('sees a metric without its unit', async () => {
    const problems = await problemsWith(edited('swings.csv', 'club_speed_mps', 'club_speed'));
    expect(problems).toEqual([
      expect.objectContaining({
        kind: 'unknown-column',
        severity: 'warning',
        column: 'club_speed_mps',
        found: 'club_speed',
      }),
    ]);
  });

  it('stops a column that stands twice', async () => {
    const problems = await problemsWith({
      'golfers.csv': 'golfer_id,plays,plays\nG01,right,left\nG02,left,left\n',
    });
    expect(problems).toEqual([
      expect.objectContaining({
        kind: 'duplicate-column',
        severity: 'error',
        row: 1,
        column: 'plays',
        found: 'plays again, in column 3',
      }),
    ]);
  });

  it('stops values under no name', async () => {
    const problems = await problemsWith({ 'golfers.csv': 'golfer_id,plays,\nG01,right,\nG02,left,7\n' });
    expect(problems).toEqual([
      expect.objectContaining({ kind: 'missing-column', severity: 'error', row: 3, found: '7' }),
    ]);
  });

  it.each(['__proto__', 'constructor', 'prototype'])(
    'stops a column named %s, and nothing is polluted',
    async (name) => {
      const problems = await problemsWith({
        'golfers.csv': `golfer_id,plays,${name}\nG01,right,polluted\nG02,left,polluted\n`,
      });
      expect(problems).toEqual([
        expect.objectContaining({
          kind: 'unknown-column',
          severity: 'error',
          row: 1,
          column: name,
          found: name,
        }),
      ]);
      expect(Object.getPrototypeOf({})).toBe(Object.prototype);
      expect(({} as Record<string, unknown>).polluted).toBeUndefined();
    },
  );
});

describe('rows of another length', () => {
  it('too short and too long, with their lines', async () => {
    const problems = await problemsWith({
      'golfers.csv': 'golfer_id,plays,age_band\nG01,right\nG02,left,30-39,more\n',
    });
    expect(problems).toEqual([
      expect.objectContaining({
        kind: 'ragged-row',
        severity: 'error',
        table: 'golfers',
        row: 2,
        found: '2 cells',
        expected: '3 cells, as in the header',
      }),
      expect.objectContaining({
        kind: 'ragged-row',
        severity: 'error',
        table: 'golfers',
        row: 3,
        found: '4 cells',
        remedy: expect.stringContaining('double quotes'),
      }),
    ]);
  });

  it.each([
    ['never closed', 'golfer_id,plays\nG01,"right\nG02,left\n', 2],
    ['in the middle of a cell', 'golfer_id,plays\r\nG01,right\r\nG02,le"ft\r\n', 3],
    ['after a cell of three lines', 'golfer_id,plays,note\nG01,right,"a\r\nb\nc"\nG02,le"ft,\n', 5],
    ['in the middle of a quoted cell', 'golfer_id,plays\nG01,right\nG02,"le"ft"\n', 3],
  ])('a double quote %s', async (_what, csv, line) => {
    const problems = await problemsWith({ 'golfers.csv': csv });
    expect(problems).toEqual([
      expect.objectContaining({
        kind: 'unreadable-file',
        severity: 'error',
        table: 'golfers',
        row: line,
        found: expect.stringContaining('double quote'),
      }),
    ]);
  });
});

describe('files that are not what they should be', () => {
  const utf16 = Buffer.concat([Buffer.from([0xff, 0xfe]), Buffer.from(text('golfers.csv'), 'utf16le')]);
  it.each<[string, string | Uint8Array, string, string, string]>([
    ['empty', '', 'empty-file', 'an empty file', 'header'],
    ['blank', '\n\n  \n', 'empty-file', 'an empty file', 'header'],
    ['a header alone', 'golfer_id,plays\n', 'empty-file', 'a header and no rows', 'Fill in golfers.csv'],
    [
      'semicolons',
      text('golfers.csv').replaceAll(',', ';'),
      'unreadable-file',
      'semicolons between the columns',
      'commas',
    ],
    [
      'tabs',
      text('golfers.csv').replaceAll(',', '\t'),
      'unreadable-file',
      'tabs between the columns',
      'commas',
    ],
    ['UTF-16', utf16, 'unreadable-file', 'text in UTF-16', 'UTF-8'],
    [
      'Latin-1',
      Buffer.from('golfer_id,plays\nG\xf601,right\n', 'latin1'),
      'unreadable-file',
      'text that is not in UTF-8',
      'UTF-8',
    ],
    [
      'a spreadsheet by another name',
      Buffer.from('PK\u0003\u0004rest'),
      'unreadable-file',
      'a spreadsheet or zip file with the name of a CSV file',
      'save as',
    ],
    ['NUL bytes', 'golfer_id,plays\nG01,ri\0ght\n', 'unreadable-file', 'a NUL byte: this is no text', 'CSV'],
  ])('%s', async (_what, content, kind, found, remedy) => {
    const problems = await problemsWith({ 'golfers.csv': content });
    const problem = problems.find((one) => one.kind === kind);
    expect(problem).toMatchObject({ severity: 'error', table: 'golfers', found });
    expect(problem?.remedy).toContain(remedy);
    // The sessions are not called orphans of a table that could not be read.
    if (found !== 'a header and no rows') expect(problems).toHaveLength(1);
  });

  it('says which of the needed files is missing', async () => {
    const loaded = await loadFiles({ 'golfers.csv': text('golfers.csv') });
    expect(loaded.valid).toBe(false);
    expect(loaded.problems.map(({ kind, table, found }) => [kind, table, found])).toEqual([
      ['missing-file', 'sessions', 'no sessions.csv'],
      ['missing-file', 'swings', 'no swings.csv'],
    ]);
  });

  it.each([
    ['Golfers.csv', 'Rename it to golfers.csv'],
    ['golfers.xlsx', 'Save it as CSV'],
  ])('sees a table under the name %s', async (name, remedy) => {
    const loaded = await loadFiles({
      [name]: text('golfers.csv'),
      'sessions.csv': text('sessions.csv'),
      'swings.csv': text('swings.csv'),
    });
    expect(loaded.problems).toEqual([
      expect.objectContaining({
        kind: 'missing-file',
        table: 'golfers',
        found: name,
        remedy: expect.stringContaining(remedy),
      }),
    ]);
  });

  it('says so when there is no such folder, or when it is a file', async () => {
    await inTempFolder(async (folder) => {
      const absent = await loadDataset(join(folder, 'nowhere'));
      expect(absent).toMatchObject({
        valid: false,
        problems: [{ kind: 'missing-file', remedy: expect.stringContaining('init') }],
      });
      await writeFile(join(folder, 'file.csv'), 'x');
      expect(await loadDataset(join(folder, 'file.csv'))).toMatchObject({
        valid: false,
        problems: [{ remedy: 'Give the folder the file is in.' }],
      });
    });
  });
});

describe('datapackage.json', () => {
  const descriptor = (resources: unknown, title?: string) => ({
    'datapackage.json': JSON.stringify({ title, resources }),
  });

  it('may name other paths inside the folder, and a title', async () => {
    const { 'golfers.csv': golfers = '', ...rest } = ROSTER;
    const loaded = await loadFiles({
      ...rest,
      'data/roster.csv': golfers,
      ...descriptor([{ name: 'golfers', path: 'data/roster.csv' }], 'Invented'),
    });
    if (!loaded.valid) throw new Error(JSON.stringify(loaded.problems));
    expect(loaded.value.title).toBe('Invented');
    expect(loaded.value.files.map(({ file }) => file)).toEqual([
      'data/roster.csv',
      'datapackage.json',
      'sessions.csv',
      'swings.csv',
    ]);
  });

  it.each([
    ['../outside.csv'],
    ['data/../../outside.csv'],
    ['/etc/passwd'],
    ['C:\\data\\golfers.csv'],
    ['..\\outside.csv'],
    ['https://example.com/golfers.csv'],
    [''],
  ])('must not lead out of the folder: %s', async (path) => {
    const problems = await problemsWith(descriptor([{ name: 'golfers', path }]));
    expect(problems).toEqual([
      expect.objectContaining({
        kind: 'bad-descriptor',
        severity: 'error',
        table: 'datapackage.json',
        column: '/resources/0/path',
        found: path,
      }),
    ]);
  });

  it.each<[string, string, string]>([
    ['no JSON', '{"resources": [', expect.stringMatching(/^text that is not JSON: line 1, column 16: /)],
    ['a list', '[]', 'no list of resources'],
    ['no resources', '{"name":"x"}', 'no list of resources'],
    ['a resource without a name', '{"resources":[{"path":"golfers.csv"}]}', 'a resource without a name'],
    [
      'a table twice',
      '{"resources":[{"name":"golfers","path":"golfers.csv"},{"name":"golfers","path":"golfers.csv"}]}',
      'golfers twice',
    ],
    ['a list of paths', '{"resources":[{"name":"golfers","path":["a.csv","b.csv"]}]}', '["a.csv","b.csv"]'],
  ])('%s', async (_what, json, found) => {
    const problems = await problemsWith({ 'datapackage.json': json });
    expect(problems).toEqual([expect.objectContaining({ kind: 'bad-descriptor', severity: 'error', found })]);
  });

  it('must not name a file that is not there', async () => {
    const problems = await problemsWith(descriptor([{ name: 'practice', path: 'bouts.csv' }]));
    expect(problems).toEqual([
      expect.objectContaining({ kind: 'missing-file', table: 'practice', found: 'no bouts.csv' }),
    ]);
  });

  it('cannot be used to pollute prototypes', async () => {
    const problems = await problemsWith({
      'datapackage.json': '{"__proto__":{"polluted":1},"resources":[{"name":"__proto__","path":"x"}]}',
    });
    expect(problems).toEqual([]);
    expect(({} as Record<string, unknown>).polluted).toBeUndefined();
  });
});

describe('links', () => {
  it('are followed inside the folder, and not out of it', async () => {
    await inTempFolder(async (top) => {
      const folder = join(top, 'data');
      await mkdir(folder);
      await writeFile(join(top, 'secret.csv'), text('golfers.csv'));
      await symlink(join(top, 'secret.csv'), join(folder, 'golfers.csv'));
      await writeFile(join(folder, 'real.csv'), text('sessions.csv'));
      await symlink(join(folder, 'real.csv'), join(folder, 'sessions.csv'));
      await writeFile(join(folder, 'swings.csv'), text('swings.csv'));
      const loaded = await loadDataset(folder);
      expect(loaded.problems).toEqual([
        expect.objectContaining({
          kind: 'unreadable-file',
          table: 'golfers',
          found: expect.stringContaining('leads out of the folder'),
        }),
      ]);
    });
  });
});
