import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { type Mapping, proposeMapping } from '../../../src/dataset/import/index.ts';
import { answered, imported, type Writable } from '../import/importing.ts';
import { workbookParts, zipBytes } from '../import/new-xlsx.ts';
import { capture } from './full-folder.ts';

/** Invented people of an invented lesson. Spellings of the first: two in each sheet, joined by the mapping. */
export const NAMES = {
  gone: ['Jürg Tannwald', 'Tannwald Juerg', 'TANNWALD, JÜRG', 'J. Tannwald'],
  stays: ['Mia Oke', 'Mia Oke-Tannwald'],
} as const;

/** Codes as the mappings give them. */
export const GONE = 'G07';

const RULES: readonly (readonly [pattern: RegExp, id: string])[] = [
  [/^Mia Oke$/, 'G11'],
  [/^Mia Oke-Tannwald$/, 'G12'],
  [/tannwald/i, GONE],
  [/^G07$/, GONE],
];

/** Answers a mapping as a coach would who knows who is who. */
export function whoIsWho(mapping: Writable<Mapping>, known: ReadonlySet<string>): void {
  const written = new Map<string, string[]>();
  for (const name of mapping.golfers.flatMap((golfer) => golfer.written)) {
    const id = RULES.find(([pattern]) => pattern.test(name))?.[1] ?? name;
    written.set(id, [...(written.get(id) ?? []), name]);
  }
  const reason = mapping.golfers.map((golfer) => golfer.reason).join('; ');
  mapping.golfers = [...written].map(([golfer_id, names]) => ({
    golfer_id,
    written: names,
    ...(names.length > 1 ? { same: 'yes' as const } : {}),
    plays: null,
    status: known.has(golfer_id) ? ('known' as const) : ('new' as const),
    reason: golfer_id === 'G07' ? reason : 'told by the coach',
  }));
}

/** Lines 4, 6 and 9 are Jürg's; 6 has a remark over two lines; 7 of Mia's mentions him. In Windows-1252. */
export const DAY = Buffer.from(
  [
    'Lesson of Jürg Tannwald and others;;;;',
    'Date;Golfer;Plays;Club speed (mph);Remark',
    '2026-03-04;Mia Oke;left;75,5;',
    '2026-03-04;Jürg Tannwald;right;80,5;sore knee',
    '2026-03-04;Mia Oke;left;76,5;',
    '2026-03-04;Tannwald Juerg;right;81,5;"first line',
    'second line"',
    '2026-03-04;Mia Oke;left;77,5;waited for JÜRG TANNWALD',
    '2026-03-04;Jürg Tannwald;right;fast;',
    '2026-03-04;Mia Oke-Tannwald;right;70,5;',
    '',
  ].join('\r\n'),
  'latin1',
);

/** A workbook as a spreadsheet program writes it: shared texts, one of them in two runs, a note, an author, a chart of values. */
export function book(): Uint8Array {
  const shared = [
    '<si><t>Date</t></si>',
    '<si><t>Golfer</t></si>',
    '<si><t>Plays</t></si>',
    '<si><t>Club speed (mph)</t></si>',
    '<si><r><t xml:space="preserve">TANNWALD, </t></r><r><rPr><b/></rPr><t>J&#220;RG</t></r></si>',
    '<si><t>J. Tannwald</t></si>',
    '<si><t>Mia Oke</t></si>',
    '<si><t>right</t></si>',
    '<si><t>left</t></si>',
    '<si><t>secret of the golfer who goes</t></si>',
    '<si><t>Remark</t></si>',
  ];
  const text = (at: string, index: number): string => `<c r="${at}" t="s"><v>${index}</v></c>`;
  const row = (line: number, golfer: number, plays: number, speed: number, more = ''): string =>
    `<row r="${line}"><c r="A${line}" s="1"><v>46086</v></c>${text(`B${line}`, golfer)}${text(`C${line}`, plays)}<c r="D${line}"><f>SUM(${speed},0)</f><v>${speed}</v></c>${more}</row>`;
  const parts = workbookParts([
    { name: 'Day 2', rows: [] },
    {
      name: 'Notes',
      rows: [
        ['who', 'what'],
        ['Jürg Tannwald', 'pays on Fridays'],
        ['Mia Oke', 'is left-handed'],
      ],
    },
  ]);
  const MAIN = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"';
  parts.set('xl/sharedStrings.xml', `<sst ${MAIN}>${shared.join('')}</sst>`);
  parts.set(
    'xl/worksheets/sheet1.xml',
    `<worksheet ${MAIN}><sheetData><row r="1">${text('A1', 0)}${text('B1', 1)}${text('C1', 2)}${text('D1', 3)}${text('E1', 10)}</row>${row(2, 6, 8, 75)}${row(3, 4, 7, 82, text('E3', 9))}${row(4, 6, 8, 76)}${row(5, 5, 7, 83)}</sheetData></worksheet>`,
  );
  parts.set(
    'xl/comments1.xml',
    `<comments ${MAIN}><authors><author>Jürg Tannwald</author></authors><commentList><comment ref="B2" authorId="0"><text><t>not Jürg Tannwald</t></text></comment></commentList></comments>`,
  );
  parts.set('docProps/core.xml', '<coreProperties><creator>J. Tannwald</creator></coreProperties>');
  parts.set('xl/charts/chart1.xml', '<chart><v>Jürg Tannwald</v><v>82</v></chart>');
  return zipBytes([...parts].map(([name, content]) => ({ name, content, deflate: true })));
}

/** A sheet that is all of one golfer, whom no column names. */
export const ALONE = Buffer.from(
  'date,plays,club speed (mph)\n2026-03-06,right,84.25\n2026-03-06,right,85.75\n',
);

/** An academy's folder: three imports, and what gathers in a folder with the years. */
export async function importedFolder(root: string): Promise<string> {
  const data = join(root, 'data');
  const day = await imported(DAY, 'Jürg Tannwald and others.csv', data, (mapping) =>
    whoIsWho(mapping, new Set()),
  );
  if (!day.ok) throw new Error(JSON.stringify(day.problems, null, 1));
  const known = new Set(['G07', 'G11', 'G12']);
  const again = await imported(book(), 'day 2.xlsx', data, (mapping) => {
    mapping.reading.sheet = 'Day 2';
    whoIsWho(mapping, known);
  });
  if (!again.ok) throw new Error(JSON.stringify(again.problems, null, 1));
  const alone = await imported(ALONE, 'alone.csv', data, (mapping) => {
    mapping.golfers = [
      { golfer_id: GONE, written: [], plays: 'right', status: 'known', reason: 'his own lesson' },
    ];
  });
  if (!alone.ok) throw new Error(JSON.stringify(alone.problems, null, 1));
  // A proposal that was left in the folder, and is no import yet.
  const proposed = proposeMapping(DAY, 'day.csv', known);
  if (!proposed.ok) throw new Error('no proposal');
  const mapping = answered(proposed.mapping, (open) => whoIsWho(open, known));
  const more: Readonly<Record<string, string | Uint8Array>> = {
    'proposals/day.csv': DAY,
    'proposals/mapping.json': JSON.stringify(mapping, null, 2),
    'notes.txt': 'Mia came early.\nTannwald, Jürg came late.\nMia Oke-Tannwald is his sister.\n',
    'motion/day.c3d': capture('J TANNWALD:LELB'),
    'motion/other.c3d': capture('JUERG_TANNWALD:A'),
    'notebook/day.ipynb': '{"cells":[{"outputs":[{"text":["J\\u00fcrg Tannwald 80.5\\n"]}]}]}',
    'notebook/day.html': '<p>J&uuml;rg <b>Tannwald</b>, G<b>07</b></p>',
    'notebook/day.pdf': '%PDF-1.7 packed',
    'old.tsv.gz': gzipSync('J. Tannwald\t1\n'),
    'exports/old.xlsx': book(),
  };
  for (const [path, content] of Object.entries(more)) {
    await mkdir(join(data, path, '..'), { recursive: true });
    await writeFile(join(data, path), content);
  }
  return data;
}
