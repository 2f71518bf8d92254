/**
 * Writes the broken spreadsheets of this folder:
 *
 *   npx tsx tests/dataset/import/broken/files.ts
 *
 * A test holds that the files are what this makes.
 */
import { writeFileSync } from 'node:fs';
import { pathToFileURL } from 'node:url';
import { type NewEntry, type NewSheet, workbookParts, xlsxBytes, zipBytes } from '../new-xlsx.ts';

const text = (content: string) => new TextEncoder().encode(content);
const utf16 = (content: string) => new Uint8Array(Buffer.from(content, 'utf16le'));
const latin1 = (content: string) => new Uint8Array(Buffer.from(content, 'latin1'));
const join = (...parts: readonly Uint8Array[]) => new Uint8Array(Buffer.concat(parts));

const HEADER = 'date,golfer,plays,club speed (mph),attack angle (deg)\n';
const ROWS =
  '2026-03-04,G01,right,80.5,-3.1\n2026-03-04,G01,right,81.5,-2.9\n2026-03-05,G02,left,92.0,-4.2\n';
const sheet = (...rows: NewSheet['rows']): NewSheet => ({
  rows: [['date', 'golfer', 'plays', 'club speed (mph)', 'attack angle (deg)'], ...rows],
});
const FIRST = [{ date: 46085 }, 'G01', 'right', 80.5, -3.1] as const;
const SECOND = [{ date: 46085 }, 'G01', 'right', 81.5, -2.9] as const;

const broken = (change: (parts: Map<string, string>) => void) =>
  xlsxBytes([sheet(FIRST, SECOND)], { change });
const withEntry = (...entries: readonly NewEntry[]) =>
  zipBytes([
    ...[...workbookParts([sheet(FIRST, SECOND)])].map(([name, content]) => ({ name, content })),
    ...entries,
  ]);
const changedEntry = (name: string, change: Partial<NewEntry>) =>
  zipBytes(
    [...workbookParts([sheet(FIRST, SECOND)])].map(([part, content]) => ({
      name: part,
      content,
      ...(part === name ? change : {}),
    })),
  );
const SHEET = 'xl/worksheets/sheet1.xml';
const DOCTYPE = '<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">]>';

/** What is broken in each file stands beside what must be said of it in cases.ts. */
export const FILES: Readonly<Record<string, Uint8Array>> = {
  // Not a spreadsheet, or not one that can be read.
  'empty.csv': new Uint8Array(),
  'only-spaces.csv': text('   \n\n \n'),
  'header-only.csv': text(HEADER),
  'no-header.csv': text(ROWS),
  'one-column.csv': text('speed\n80\n81\n'),
  'nul.csv': text(`${HEADER}2026-03-04,G01,right,80.5\0,-3.1\n`),
  'utf16-no-mark.csv': utf16(HEADER + ROWS),
  'utf16-odd.csv': join(Uint8Array.of(0xff, 0xfe), utf16(HEADER + ROWS), Uint8Array.of(0x41)),
  'utf8-mark-then-latin1.csv': join(
    Uint8Array.of(0xef, 0xbb, 0xbf),
    latin1(`${HEADER}2026-03-04,J\u00F6rg,right,80.5,-3.1\n`),
  ),
  'old-format.xls': join(Uint8Array.of(0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1, 0x1a, 0xe1), new Uint8Array(64)),
  'web-page.xls': text('<html><table><tr><td>date</td></tr></table></html>'),
  'xml-2003.xls': text('<?xml version="1.0"?><Workbook/>'),
  'pdf.csv': text('%PDF-1.4\n'),
  'json.csv': text('[{"date": "2026-03-04"}]'),
  'gzip.csv': Uint8Array.of(0x1f, 0x8b, 8, 0, 0, 0, 0, 0),
  'quote-open.csv': text(`${HEADER}2026-03-04,"G01,right,80.5,-3.1\n${ROWS}`),
  'quote-middle.csv': text(`${HEADER}2026-03-04,G"0"1,right,80.5,-3.1\n`),
  'cut-off.xlsx': xlsxBytes([sheet(FIRST)]).subarray(0, 700),
  'not-a-workbook.xlsx': zipBytes([{ name: 'readme.txt', content: 'hello' }]),
  'doctype.xlsx': broken((parts) =>
    parts.set(
      SHEET,
      parts.get(SHEET)!.replace('<worksheet', '<!DOCTYPE worksheet SYSTEM "file:///etc/hostname"><worksheet'),
    ),
  ),
  'entity-bomb.xlsx': broken((parts) =>
    parts.set('xl/sharedStrings.xml', `<?xml version="1.0"?>${DOCTYPE}<sst><si><t>&b;</t></si></sst>`),
  ),
  'unknown-entity.xlsx': broken((parts) => parts.set(SHEET, parts.get(SHEET)!.replace('G01', '&who;'))),
  'bomb.xlsx': withEntry({
    name: 'xl/sharedStrings.xml',
    content: ' '.repeat(1000),
    deflate: true,
    says: { size: 3_000_000_000 },
  }),
  'lies-about-size.xlsx': withEntry({
    name: 'xl/sharedStrings.xml',
    content: `<sst>${' '.repeat(500_000)}</sst>`,
    deflate: true,
    says: { size: 20 },
  }),
  'path-out.xlsx': withEntry({ name: '../../evil.txt', content: 'x' }),
  'drive-path.xlsx': withEntry({ name: 'C:/evil.txt', content: 'x' }),
  'checksum.xlsx': changedEntry(SHEET, { says: { crc: 1 } }),
  'password.xlsx': changedEntry(SHEET, { says: { flags: 1 } }),
  'part-twice.xlsx': withEntry({ name: SHEET, content: 'x' }),
  'damaged-xml.xlsx': broken((parts) => parts.set(SHEET, parts.get(SHEET)!.replace('</row>', ''))),
  'deep-xml.xlsx': broken((parts) => parts.set(SHEET, `<a>${'<b>'.repeat(100)}${'</b>'.repeat(100)}</a>`)),
  'sheet-part-gone.xlsx': broken((parts) => parts.delete(SHEET)),
  'long-cell.xlsx': xlsxBytes([sheet(['x'.repeat(32_768), 'G01', 'right', 80, -3])]),
  'hidden-sheet-only.xlsx': xlsxBytes([{ ...sheet(FIRST), name: 'old', state: 'hidden' }]),
  'no-rows.xlsx': xlsxBytes([{ rows: [] }]),
  // Something is open, and must be asked.
  'dates-either-way.csv': text(`${HEADER}04/03/2026,G01,right,80.5,-3.1\n05/03/2026,G01,right,81,-3\n`),
  'dates-mixed.csv': text(`${HEADER}25/03/2026,G01,right,80.5,-3.1\n03/26/2026,G01,right,81,-3\n`),
  'dates-counted.csv': text(`${HEADER}46085,G01,right,80.5,-3.1\n46086,G01,right,81,-3\n`),
  'two-figure-years.csv': text(`${HEADER}25/03/26,G01,right,80.5,-3.1\n26/03/26,G01,right,81,-3\n`),
  'two-figure-consent.csv': text(
    'date,golfer,plays,consent date,club speed (mph)\n2026-03-04,G01,right,04-Mar-98,80.5\n2026-03-04,G01,right,04-Mar-98,81\n',
  ),
  'consent-either-way.csv': text(
    'date,golfer,plays,consent date,club speed (mph)\n2026-03-04,G01,right,05/03/2026,80.5\n',
  ),
  'two-figures-three-orders.csv': text(`${HEADER}04/03/02,G01,right,80.5,-3.1\n`),
  'decimals-mixed.csv': text(
    'date;golfer;plays;club speed (mph)\n2026-03-04;G01;right;80,5\n2026-03-04;G01;right;81.5\n',
  ),
  'thousands.csv': text(
    'date;golfer;plays;elbow extension speed peak dps\n2026-03-04;G01;right;1,234\n2026-03-04;G01;right;1,180\n',
  ),
  'two-sheets.xlsx': xlsxBytes([
    { ...sheet(FIRST), name: 'March' },
    { ...sheet(SECOND), name: 'April' },
  ]),
  'hidden-rows.xlsx': xlsxBytes([{ ...sheet(FIRST, SECOND), hiddenRows: [3] }]),
  'no-unit.csv': text(
    'date,golfer,plays,club speed\n2026-03-04,G01,right,50\n2026-03-04,G01,right,51\n2026-03-04,G01,right,52\n',
  ),
  'unit-against-values.csv': text(
    'date,golfer,plays,club speed (m/s)\n2026-03-04,G01,right,95\n2026-03-04,G01,right,96\n2026-03-04,G01,right,97\n',
  ),
  'units-disagree.csv': text('date,golfer,plays,club speed (mph)\n,,,km/h\n2026-03-04,G01,right,95\n'),
  'elbow-angle.csv': text(
    'date,golfer,plays,elbow angle at top (deg)\n2026-03-04,G01,right,88\n2026-03-04,G01,right,90\n2026-03-04,G01,right,91\n',
  ),
  'lag-no-instant.csv': text('date,golfer,plays,lag (deg)\n2026-03-04,G01,right,88\n'),
  'two-spellings.csv': text(
    `${HEADER}2026-03-04,Berg Ann,right,80.5,-3.1\n2026-03-04,"Ann  Berg",right,81,-3\n`,
  ),
  'typing-error.csv': text(
    `${HEADER}2026-03-04,Annika Berg,right,80.5,-3.1\n2026-03-04,Anika Berg,right,81,-3\n`,
  ),
  'column-twice.csv': text(
    'date,golfer,plays,club speed (mph),head speed (mph)\n2026-03-04,G01,right,80.5,81\n',
  ),
  'no-golfer.csv': text('date,club speed (mph)\n2026-03-04,80.5\n'),
  'no-plays.csv': text('date,golfer,club speed (mph)\n2026-03-04,G01,80.5\n'),
  'unknown-word.csv': text(`${HEADER}2026-03-04,G01,both,80.5,-3.1\n`),
  // Rows are left out, or cells left empty, and said.
  'comma-in-number.csv': text(`${HEADER}${ROWS}2026-03-05,G02,left,92,5,-4.2\n`),
  'no-date.csv': text(`${HEADER}${ROWS},G02,left,92,-4.2\n`),
  'impossible-day.csv': text(`${HEADER}${ROWS}2026-02-30,G02,left,92,-4.2\n`),
  'two-figure-untold.csv': text(`${HEADER}${ROWS}26-MAR-26,G02,left,92,-4.2\n`),
  'row-without-golfer.csv': text(`${HEADER}${ROWS}2026-03-05,,left,92,-4.2\n`),
  'average-line.csv': text(`${HEADER}${ROWS}Average,,,84.7,-3.4\n`),
  'header-again.csv': text(`${HEADER}${ROWS}${HEADER}${ROWS.replaceAll('2026', '2025')}`),
  'id-twice.csv': text(
    `swing id,${HEADER}W1,2026-03-04,G01,right,80.5,-3.1\nW1,2026-03-04,G01,right,80.5,-3.1\nW1,2026-03-04,G01,right,85,-3\n`,
  ),
  'session-on-two-days.csv': text(
    `session id,${HEADER}S1,2026-03-04,G01,right,80.5,-3.1\nS1,2026-03-05,G01,right,85,-3\n`,
  ),
  'words-in-numbers.csv': text(`${HEADER}${ROWS}2026-03-05,G02,left,fast,-4.2\n`),
  'error-texts.csv': text(`${HEADER}${ROWS}2026-03-05,G02,left,#DIV/0!,n/a\n`),
  'code-for-missing.csv': text(`${HEADER}${ROWS}2026-03-05,G02,left,9999,-4.2\n`),
  'unit-in-cell.csv': text(`${HEADER}${ROWS}2026-03-05,G02,left,148 km/h,-4.2\n`),
  'errors.xlsx': xlsxBytes([sheet(FIRST, [{ date: 46085 }, 'G01', 'right', { error: '#N/A' }, -3])]),
  'formula-without-value.xlsx': xlsxBytes([
    sheet(FIRST, [{ date: 46085 }, 'G01', 'right', { formula: 'D2+1' }, -3]),
  ]),
  'number-turned-date.xlsx': xlsxBytes([
    sheet(FIRST, [{ date: 46085 }, 'G01', 'right', 81, { date: 46085 }]),
  ]),
  'day-that-never-was.xlsx': xlsxBytes([sheet(FIRST, [{ date: 60 }, 'G01', 'right', 81, -3])]),
  'windows-1252.csv': latin1(`${HEADER}2026-03-04,J\u00F6rg,right,80.5,\u22123\n`.replace('\u2212', '-')),
  'right-and-left.csv': text(
    'date,golfer,plays,right elbow flexion at impact (deg)\n2026-03-04,G01,right,40\n2026-03-04,G02,left,41\n2026-03-04,G01,right,42\n',
  ),
  'machine-names.csv': text(`__proto__,constructor,${HEADER}1,2,2026-03-04,G01,right,80.5,-3.1\n`),
  // Stopped: what it says contradicts itself or the dataset.
  'lag-included.csv': text(
    `date,golfer,plays,lag at impact (deg)\n${[150, 155, 160, 158, 152, 149].map((lag) => `2026-03-04,G01,right,${lag}\n`).join('')}`,
  ),
  'mph-as-mps.csv': text(
    `date,golfer,plays,club speed (mph)\n${[95, 96, 97, 98, 99, 94].map((speed) => `2026-03-04,G01,right,${speed}\n`).join('')}`,
  ),
  'plays-both-ways.csv': text(`${HEADER}${ROWS}2026-03-06,G01,left,80,-3\n`),
  'impossible-column.csv': text(
    `date,golfer,plays,impact offset (mm)\n${[500, 600, 700, 800, 900, 650].map((offset) => `2026-03-04,G01,right,${offset}\n`).join('')}`,
  ),
};

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href)
  for (const [name, bytes] of Object.entries(FILES)) writeFileSync(new URL(name, import.meta.url), bytes);
