import type { Mapping } from '../../../../src/dataset/index.ts';
import type { Writable } from '../importing.ts';

/** What must come of a broken file. `rows` counts its lines of data by hand; null where no line can be told. */
export interface BrokenCase {
  readonly file: string;
  /** What must stand in what is said. */
  readonly says: readonly string[];
  readonly outcome:
    | 'refused'
    | { readonly rows: number; readonly imported: number; readonly leftOut: number };
  readonly answer?: (mapping: Writable<Mapping>) => void;
}

const refused = (file: string, ...says: string[]): BrokenCase => ({ file, says, outcome: 'refused' });
const left = (file: string, rows: number, imported: number, ...says: string[]): BrokenCase => ({
  file,
  says,
  outcome: { rows, imported, leftOut: rows - imported },
});

export const CASES: readonly BrokenCase[] = [
  refused('empty.csv', 'an empty file'),
  refused('only-spaces.csv', 'no mark that cuts its lines into columns'),
  refused('header-only.csv', 'one line and no more'),
  refused('no-header.csv', 'values where the names of the columns should be'),
  refused('one-column.csv', 'no mark that cuts its lines into columns'),
  refused('nul.csv', 'a NUL byte'),
  refused('utf16-no-mark.csv', 'text in UTF-16 without its mark'),
  refused('utf16-odd.csv', 'begins as UTF-16LE and is not'),
  refused('utf8-mark-then-latin1.csv', 'begins as UTF-8 and is not'),
  refused('old-format.xls', 'the format before 2007, or one with a password'),
  refused('web-page.xls', 'a web page with the name of a spreadsheet'),
  refused('xml-2003.xls', 'XML'),
  refused('pdf.csv', 'a PDF'),
  refused('json.csv', 'JSON'),
  refused('gzip.csv', 'a packed file (gzip)'),
  refused('quote-open.csv', 'quote-open.csv, line 2', 'never closed'),
  refused('quote-middle.csv', 'quote-middle.csv, line 2', 'out of place'),
  refused('cut-off.xlsx', 'a zip file that is cut off'),
  refused('not-a-workbook.xlsx', 'a zip file without a workbook in it'),
  refused('doctype.xlsx', 'a document type in xl/worksheets/sheet1.xml'),
  refused('entity-bomb.xlsx', 'a document type in xl/sharedStrings.xml'),
  refused('unknown-entity.xlsx', 'damaged XML'),
  refused('bomb.xlsx', 'more than 512 MiB'),
  refused('lies-about-size.xlsx', 'unpack to more than they say'),
  refused('path-out.xlsx', "'../../evil.txt', which leads out of the file"),
  refused('drive-path.xlsx', "'C:/evil.txt', which leads out of the file"),
  refused('checksum.xlsx', 'not what its checksum says'),
  refused('password.xlsx', 'a part with a password'),
  refused('part-twice.xlsx', "'xl/worksheets/sheet1.xml' twice"),
  refused('damaged-xml.xlsx', 'damaged XML in xl/worksheets/sheet1.xml'),
  refused('deep-xml.xlsx', 'more than 64 levels'),
  refused('sheet-part-gone.xlsx', "no part for the sheet 'Sheet1'"),
  refused('long-cell.xlsx', 'a cell of more than 32767 characters'),
  refused('hidden-sheet-only.xlsx', "rows on hidden sheets only ('old')"),
  refused('no-rows.xlsx', 'no sheet with rows'),

  refused('dates-either-way.csv', 'all 2 dates can be read both ways', 'day-first, month-first'),
  refused('dates-mixed.csv', 'line 2 can only be day first and line 3 only month first'),
  refused('dates-counted.csv', '2 dates are day numbers of a spreadsheet', 'counted-1900'),
  refused(
    'two-figure-years.csv',
    '2 dates have a year of two figures, the first on line 2: 25/03/26',
    '2000 makes 98 the year 2098; 1930 makes it 1998',
    'all 2 dates can be read both ways: day first, year first',
  ),
  refused('two-figure-consent.csv', '2 dates have a year of two figures, the first on line 2: 04-Mar-98'),
  refused('consent-either-way.csv', 'the one date can be read both ways: day first, month first'),
  refused(
    'two-figures-three-orders.csv',
    'can be read in three ways: day first, month first, year first',
    '1 date has a year of two figures',
  ),
  refused('decimals-mixed.csv', '1 numbers have a comma, such as 80,5, and 1 a point'),
  refused('thousands.csv', '1,234 may be a whole number with a mark of thousands'),
  refused('two-sheets.xlsx', "'March', 'April' hold rows"),
  refused('hidden-rows.xlsx', '1 rows are hidden in the sheet'),
  refused('no-unit.csv', 'no unit is named; the values (median 51) fit m/s and mph'),
  refused('unit-against-values.csv', 'the header says m/s, but the values (median 96) look like'),
  refused('units-disagree.csv', 'the header says mph, the line of units says km/h'),
  refused('elbow-angle.csv', 'fit flexion (0 = straight) and the included angle (180 = straight) alike'),
  refused('lag-no-instant.csv', 'it does not say which instant', 'swings.lag_top_deg'),
  refused('two-spellings.csv', "'Berg Ann' and 'Ann  Berg' differ little"),
  refused('typing-error.csv', "'Annika Berg' and 'Anika Berg' differ little"),
  refused('column-twice.csv', 'columns 4 and 5 would both become swings.club_speed_mps'),
  refused('no-golfer.csv', 'the golfer of this file', 'a code such as G01, never a name'),
  refused('no-plays.csv', 'G01: the sheet does not say', 'right or left'),
  refused('unknown-word.csv', "'both' in column 3 'plays'"),

  left('comma-in-number.csv', 4, 3, 'line 5: it has 6 cells, and the header 5'),
  left('no-date.csv', 4, 3, 'line 5: it has no date'),
  left('impossible-day.csv', 4, 3, 'line 5: 2026-02-30: no date, read year first', 'line 5: it has no date'),
  {
    ...left(
      'two-figure-untold.csv',
      4,
      3,
      'line 5: 26-MAR-26: a year of two figures, and the mapping does not say which hundred years are meant',
    ),
    answer: (mapping) => {
      if (mapping.reading.two_figure_years !== 'ask') throw new Error('the century should have been asked');
      delete mapping.reading.two_figure_years;
    },
  },
  left('row-without-golfer.csv', 4, 3, 'line 5: it names no golfer'),
  left('average-line.csv', 4, 3, "line 5: the mapping leaves it out: it begins with 'Average'"),
  left('header-again.csv', 7, 6, 'line 5: the mapping leaves it out: it is the header again'),
  left(
    'id-twice.csv',
    3,
    1,
    'line 3: it is the same as line 2',
    "line 4: W1 stands on line 2 with club_speed_mps '35.98672', and here with '37.9984'; nothing was overwritten",
  ),
  {
    ...left(
      'session-on-two-days.csv',
      2,
      1,
      "line 3: its session has date '2026-03-04' on line 2 and '2026-03-05' here",
    ),
    answer: (mapping) => {
      const column = mapping.columns[0]!;
      if (column.to !== null) throw new Error('a session on two days should not have been proposed');
      column.to = 'sessions.session_id';
    },
  },
  left('words-in-numbers.csv', 4, 4, 'line 5: fast: no number with a point before the decimals'),
  left('error-texts.csv', 4, 4, 'line 5: #DIV/0!: an error of the sheet'),
  left('code-for-missing.csv', 4, 4, 'line 5: 9999: it looks like a code for a missing value'),
  {
    ...left('unit-in-cell.csv', 4, 4, 'line 5: 148 km/h: its unit is km/h, that of the column mph'),
    answer: (mapping) => {
      const column = mapping.columns[3]!;
      if (column.unit !== 'ask') throw new Error('the two units should have been asked about');
      column.unit = 'mph';
    },
  },
  left('errors.xlsx', 2, 2, 'line 3: #N/A: an error of the sheet'),
  left('formula-without-value.xlsx', 2, 2, 'line 3: (a formula without a saved value)'),
  left('number-turned-date.xlsx', 2, 2, 'line 3: 2026-03-04: a date where a number should be'),
  left('day-that-never-was.xlsx', 2, 1, 'line 3: 60: no date'),
  left('windows-1252.csv', 1, 1),
  left('right-and-left.csv', 3, 3),
  left('machine-names.csv', 1, 1),

  {
    ...refused('lag-included.csv', 'lag_impact_deg', 'included angle between forearm and shaft'),
    answer: (mapping) => {
      mapping.columns[3]!.convention = 'as-is';
    },
  },
  {
    ...refused('mph-as-mps.csv', 'miles an hour'),
    answer: (mapping) => {
      mapping.columns[3]!.unit = 'm/s';
    },
  },
  refused('plays-both-ways.csv', 'line 5', 'G01 plays left', 'right, as line 2 has it'),
  refused('impossible-column.csv', '6 of 6 values that swings.impact_offset_mm cannot have'),
];
