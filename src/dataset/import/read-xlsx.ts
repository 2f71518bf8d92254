import { Unreadable } from './import-problem.ts';
import { isDateFormat, serialDate } from './serial-date.ts';
import type { CellKind, Merge, Sheet } from './sheet.ts';
import { SheetRows } from './sheet-rows.ts';
import { readXml } from './xml.ts';
import { openZip } from './zip.ts';

const MOST_CELLS = 20_000_000;
const MOST_COLUMNS = 16_384;
const LONGEST_TEXT = 32_767;

type Parts = (name: string) => Uint8Array | null;

/**
 * The sheets of an .xlsx file (Office Open XML, ECMA-376, part 1), read by our own reader over node:zlib and a strict XML
 * parser (saxes). Why our own: of the libraries on the registry, the one most used (xlsx 0.18.5) is no longer kept up
 * there and has published advisories (CVE-2023-30533, CVE-2024-22363), exceljs has had no release since 2023, and the
 * smaller ones give values without saying which cells are formulae, merged, hidden or errors, and set no limit to what
 * is unpacked. What a lesson's spreadsheet holds is a small part of the format.
 *
 * What is taken: numbers, texts (rich text without its looks), yes/no, dates by their number format in the systems of
 * 1900 and 1904, errors, the value a formula had when the file was saved (and that it was one), merged cells, hidden
 * rows, columns and sheets.
 *
 * Known faults: formulae are never worked out, so a file whose program did not save their values gives errors there;
 * strict-format names, zip64 files, macros, pivot tables, comments and charts are not read; a locale's own date format
 * beyond ECMA-376, 18.8.30 is taken for a number; times are rounded to the second.
 *
 * @throws Unreadable
 */
export function readXlsx(bytes: Uint8Array): readonly Sheet<SheetRows>[] {
  const parts = openZip(bytes);
  const workbook = readWorkbook(parts);
  const shared = readSharedTexts(parts);
  const isDate = readDateStyles(parts);
  let left = MOST_CELLS;
  return workbook.sheets.map(({ name, hidden, path }) => {
    const part = parts(path);
    if (part === null)
      throw new Unreadable(
        `no part for the sheet '${name}'`,
        'a whole .xlsx file',
        'Open it in the spreadsheet and save it again.',
      );
    const sheet = readSheet({ name, hidden, path, part, shared, isDate, from1904: workbook.from1904, left });
    left -= sheet.rows.slots;
    return sheet;
  });
}

function readWorkbook(parts: Parts) {
  const part = parts('xl/workbook.xml');
  if (part === null)
    throw new Unreadable(
      'a zip file without a workbook in it',
      'a CSV or .xlsx file',
      'Give the spreadsheet itself; a file of another program (.ods, .numbers, .zip) is first saved as .xlsx or CSV.',
    );
  const targets = new Map<string, string>();
  readXml('xl/_rels/workbook.xml.rels', parts('xl/_rels/workbook.xml.rels') ?? EMPTY, {
    open: (name, attribute) => {
      if (name === 'Relationship' && attribute('TargetMode') !== 'External')
        targets.set(attribute('Id') ?? '', attribute('Target') ?? '');
    },
  });
  const sheets: { name: string; hidden: boolean; path: string }[] = [];
  let from1904 = false;
  readXml('xl/workbook.xml', part, {
    open: (name, attribute) => {
      if (name === 'workbookPr') from1904 = ['1', 'true'].includes(attribute('date1904') ?? '');
      if (name !== 'sheet') return;
      const target = targets.get(attribute('id') ?? '') ?? '';
      sheets.push({
        name: attribute('name') ?? '',
        hidden: (attribute('state') ?? 'visible') !== 'visible',
        path: target.startsWith('/') ? target.slice(1) : `xl/${target}`,
      });
    },
  });
  // A chart by itself is a sheet too, and has no rows.
  return { from1904, sheets: sheets.filter(({ path }) => !path.includes('chartsheets/')) };
}

const EMPTY = new TextEncoder().encode('<none/>');

function readSharedTexts(parts: Parts): readonly string[] {
  const part = parts('xl/sharedStrings.xml');
  if (part === null) return [];
  const texts: string[] = [];
  let text = '';
  let inText = false;
  let spoken = 0;
  readXml('xl/sharedStrings.xml', part, {
    open: (name) => {
      if (name === 'si') text = '';
      if (name === 't') inText = true;
      if (name === 'rPh') spoken += 1;
    },
    text: (piece) => {
      if (inText && spoken === 0) text = grown(text, piece);
    },
    close: (name) => {
      if (name === 't') inText = false;
      if (name === 'rPh') spoken -= 1;
      if (name === 'si') texts.push(unescaped(text));
    },
  });
  return texts;
}

function readDateStyles(parts: Parts): (style: number) => boolean {
  const part = parts('xl/styles.xml');
  if (part === null) return () => false;
  const codes = new Map<number, string>();
  const formats: number[] = [];
  let inCells = false;
  readXml('xl/styles.xml', part, {
    open: (name, attribute) => {
      if (name === 'numFmt') codes.set(Number(attribute('numFmtId')), attribute('formatCode') ?? '');
      if (name === 'cellXfs') inCells = true;
      if (name === 'xf' && inCells) formats.push(Number(attribute('numFmtId') ?? 0));
    },
    close: (name) => {
      if (name === 'cellXfs') inCells = false;
    },
  });
  const isDate = formats.map((id) => isDateFormat(id, codes.get(id)));
  return (style) => isDate[style] ?? false;
}

interface SheetPart {
  readonly name: string;
  readonly hidden: boolean;
  readonly path: string;
  readonly part: Uint8Array;
  readonly shared: readonly string[];
  readonly isDate: (style: number) => boolean;
  readonly from1904: boolean;
  readonly left: number;
}

function readSheet(from: SheetPart): Sheet<SheetRows> {
  const rows = new SheetRows();
  const merged: Merge[] = [];
  const hiddenColumns: number[] = [];
  let formulas = 0;
  let slots = 0;
  let row = { line: 0, hidden: false, cells: [] as string[], kinds: [] as CellKind[] };
  let cell = { column: 0, type: '', style: 0, formula: false, value: '', hasValue: false };
  let taking = false;
  readXml(from.path, from.part, {
    open: (name, attribute) => {
      switch (name) {
        case 'row':
          row = {
            line: whole(attribute('r')) ?? row.line + 1,
            hidden: isOn(attribute('hidden')),
            cells: [],
            kinds: [],
          };
          cell.column = 0;
          return;
        case 'c':
          cell = {
            column: columnOf(attribute('r')) ?? cell.column + 1,
            type: attribute('t') ?? 'n',
            style: Number(attribute('s') ?? 0),
            formula: false,
            value: '',
            hasValue: false,
          };
          return;
        case 'v':
        case 't':
          taking = true;
          cell.hasValue = true;
          return;
        case 'f':
          cell.formula = true;
          return;
        case 'mergeCell':
          merged.push(...mergeOf(attribute('ref')));
          return;
        case 'col':
          if (isOn(attribute('hidden')))
            for (
              let column = Number(attribute('min')), last = Math.min(Number(attribute('max')), MOST_COLUMNS);
              column <= last;
              column += 1
            )
              hiddenColumns.push(column);
      }
    },
    text: (piece) => {
      if (taking) cell.value = grown(cell.value, piece);
    },
    close: (name) => {
      if (name === 'v' || name === 't') taking = false;
      if (name === 'c') {
        const { text, kind } = cellValue(cell, from);
        if (cell.formula) formulas += 1;
        if (text === '') return;
        slots += Math.max(0, cell.column - row.cells.length);
        if (slots > from.left || cell.column > MOST_COLUMNS)
          throw new Unreadable(
            'more cells than a lesson can fill',
            `at most ${MOST_CELLS / 1e6} million cells`,
            'Save the part that holds the swings as a file of its own, or as CSV.',
          );
        while (row.cells.length < cell.column - 1) {
          row.cells.push('');
          row.kinds.push('text');
        }
        row.cells[cell.column - 1] = text;
        row.kinds[cell.column - 1] = kind;
      }
      if (name === 'row' && row.cells.length > 0) rows.push(row);
    },
  });
  rows.sort();
  return { name: from.name, hidden: from.hidden, rows, merged, hiddenColumns, formulas };
}

function cellValue(
  cell: {
    readonly type: string;
    readonly style: number;
    readonly formula: boolean;
    readonly value: string;
    readonly hasValue: boolean;
  },
  { shared, isDate, from1904 }: SheetPart,
): { readonly text: string; readonly kind: CellKind } {
  const { type, value } = cell;
  if (!cell.hasValue || (value === '' && cell.formula))
    return cell.formula ? { text: NO_VALUE, kind: 'error' } : { text: '', kind: 'text' };
  switch (type) {
    case 's': {
      const text = shared[Number(value)];
      return text === undefined ? { text: '#REF!', kind: 'error' } : { text, kind: 'text' };
    }
    case 'b':
      return { text: value === '1' ? 'yes' : 'no', kind: 'text' };
    case 'e':
      return { text: value, kind: 'error' };
    case 'd':
      return { text: value.replace('T', ' ').replace(/\.\d+$/, ''), kind: 'date' };
    case 'str':
    case 'inlineStr':
      return { text: unescaped(value), kind: 'text' };
    default: {
      const number = Number(value);
      if (value.trim() === '' || !Number.isFinite(number)) return { text: value, kind: 'text' };
      const date = isDate(cell.style) ? serialDate(number, from1904) : null;
      return date === null ? { text: String(number), kind: 'number' } : { text: date, kind: 'date' };
    }
  }
}

/** What stands for a formula whose value the program that wrote the file did not save. */
const NO_VALUE = '(a formula without a saved value)';

function grown(text: string, piece: string): string {
  if (text.length + piece.length > LONGEST_TEXT)
    throw new Unreadable(
      `a cell of more than ${LONGEST_TEXT} characters`,
      'cells that a spreadsheet can hold',
      'Shorten the cell, or take it away.',
    );
  return text + piece;
}

/** `_x000D_` is how the format writes a character that XML cannot hold (ECMA-376, part 1, 22.9.2.19). */
function unescaped(text: string): string {
  return text.includes('_x')
    ? text.replace(/_x([0-9A-Fa-f]{4})_/g, (_, code: string) =>
        String.fromCharCode(Number.parseInt(code, 16)),
      )
    : text;
}

const isOn = (text: string | undefined) => text === '1' || text === 'true';

function whole(text: string | undefined): number | null {
  const value = Number(text);
  return text !== undefined && Number.isInteger(value) && value > 0 ? value : null;
}

function columnOf(reference: string | undefined): number | null {
  const letters = /^([A-Z]{1,3})\d/.exec(reference ?? '')?.[1];
  if (letters === undefined) return null;
  let column = 0;
  for (const letter of letters) column = column * 26 + letter.charCodeAt(0) - 64;
  return column;
}

function mergeOf(reference: string | undefined): Merge[] {
  const [, a, b] = /^([A-Z]{1,3}\d+):([A-Z]{1,3}\d+)$/.exec(reference ?? '') ?? [];
  if (a === undefined || b === undefined) return [];
  const rowOf = (cell: string) => Number(cell.replace(/^[A-Z]+/, ''));
  return [{ rows: [rowOf(a), rowOf(b)], columns: [columnOf(a)!, columnOf(b)!] }];
}
