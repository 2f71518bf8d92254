import { closeSync, openSync, writeFileSync, writeSync } from 'node:fs';
import { createStream } from '../../src/numerics/index.ts';
import { workbookParts, zipBytes } from '../dataset/import/new-xlsx.ts';

const HEADER = [
  'Player',
  'Date',
  'Time',
  'Club',
  'Club Speed (mph)',
  'Ball Speed (mph)',
  'Attack Angle (deg)',
  'Club Path (deg)',
  'Shaft Lean at Impact (deg)',
  'Low Point (cm)',
];
const TEXTS = 4;
const DATES = ['2026-01-05', '2026-01-12', '2026-04-06', '2026-04-13'];
const SWINGS_OF_SESSION = 25;
/** Mean and standard deviation of the numbers, invented. */
const NUMBERS = [
  [80, 4],
  [112, 5],
  [-4, 1.5],
  [0, 2],
  [4, 3],
  [4, 3],
] as const;
/** A sheet has so many rows at most (ECMA-376, and the programs that write it), the header among them. */
export const MOST_SHEET_ROWS = 1_048_576;

function* lines(swings: number): IterableIterator<readonly string[]> {
  yield HEADER;
  const stream = createStream(8, 'device export');
  const two = (value: number) => String(value).padStart(2, '0');
  for (let i = 0; i < swings; i += 1) {
    const [session, swing] = [Math.floor(i / SWINGS_OF_SESSION), i % SWINGS_OF_SESSION];
    const golfer = String(Math.floor(session / DATES.length)).padStart(5, '0');
    const seconds = Math.floor(60 * stream.uniform());
    yield [
      `G${golfer}`,
      DATES[session % DATES.length]!,
      `${two(9 + Math.floor(swing / 12))}:${two(5 * (swing % 12))}:${two(seconds)}`,
      'iron-7',
      ...NUMBERS.map(([mean, sd]) => (mean + stream.normal(0, sd)).toFixed(2)),
    ];
  }
}

/** Writes what a launch monitor might export of so many invented swings, as CSV. */
export function writeCsvExport(path: string, swings: number): void {
  const file = openSync(path, 'w');
  let waiting = '';
  for (const cells of lines(swings)) {
    waiting += `${cells.join(',')}\n`;
    if (waiting.length < 2 ** 20) continue;
    writeSync(file, waiting);
    waiting = '';
  }
  writeSync(file, waiting);
  closeSync(file);
}

/** The same as a workbook; for a million swings its sheet unpacks to some 400 MB. */
export function writeXlsxExport(path: string, swings: number): void {
  const pieces: Buffer[] = [];
  let waiting =
    '<?xml version="1.0"?><worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>';
  let row = 0;
  for (const cells of lines(swings)) {
    row += 1;
    const written = cells.map((cell, c) => {
      const at = `${String.fromCharCode(65 + c)}${row}`;
      return row === 1 || c < TEXTS
        ? `<c r="${at}" t="str"><v>${cell}</v></c>`
        : `<c r="${at}"><v>${cell}</v></c>`;
    });
    waiting += `<row r="${row}">${written.join('')}</row>`;
    if (waiting.length < 2 ** 20) continue;
    pieces.push(Buffer.from(waiting));
    waiting = '';
  }
  pieces.push(Buffer.from(`${waiting}</sheetData></worksheet>`));
  const sheet = Buffer.concat(pieces);
  const parts = workbookParts([{ rows: [] }]);
  const entries = [...parts].map(([name, content]) =>
    name === 'xl/worksheets/sheet1.xml' ? { name, content: sheet, deflate: true } : { name, content },
  );
  writeFileSync(path, zipBytes(entries));
}
