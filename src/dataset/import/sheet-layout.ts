import { dateParts, MISSING_WORDS, timeOfDay, writtenDate, writtenNumber } from './cell-values.ts';
import { cellOf, kindOf, type Merge, type SheetRow } from './sheet.ts';
import type { SheetRows } from './sheet-rows.ts';
import { unitIn } from './units.ts';

/** Where in a sheet the names, the units and the data are. */
export interface SheetLayout {
  readonly headerLines: readonly number[];
  readonly unitLine: number | null;
  readonly firstLine: number;
  readonly leaveOut: readonly { readonly line: number; readonly why: string }[];
  readonly reasons: readonly string[];
}

const LOOKED_AT = 60;
const SUMMARY =
  /^(?:average|avg|mean|median|total|sum|std\.?(?: ?dev)?|sd|standard deviation|min(?:imum)?|max(?:imum)?|count)\b[.:]?$/i;

/**
 * Finds the header: the last line of words above the first line with a number or a date in it, or two such lines where
 * the upper one is spread over the lower one's columns; between them and the data there may be a line of units.
 *
 * @returns null where no line of words stands above the data
 */
export function sheetLayout(rows: SheetRows, merged: readonly Merge[]): SheetLayout | null {
  const head = [...rows.between(0, LOOKED_AT)];
  const width = (row: SheetRow) => row.cells.filter((cell) => cell.trim() !== '').length;
  const widest = Math.max(0, ...head.map(width));
  const isWide = (row: SheetRow) => width(row) >= Math.min(2, widest) && width(row) * 3 >= widest;
  let first = head.findIndex((row) => isWide(row) && row.cells.some((_, index) => isValue(row, index)));
  if (first === 0) return null;
  let above = head
    .slice(0, first < 0 ? head.length : first)
    .filter((row) => width(row) >= Math.min(2, widest) || isUnitLine(row));
  if (first < 0) {
    // A sheet of words only, such as a list of golfers: its first line is the header.
    first = head.indexOf(above[0]!) + 1;
    above = above.slice(0, 1);
  }
  const unit = above.length > 1 && isUnitLine(above.at(-1)!) ? above.at(-1)! : null;
  const names = unit === null ? above : above.slice(0, -1);
  const lower = names.at(-1);
  if (lower === undefined || first >= rows.length) return null;
  const upper = names.at(-2);
  const isTwo =
    upper !== undefined && head.indexOf(lower) - head.indexOf(upper) === 1 && spreads(upper, lower, merged);
  const headers = isTwo ? [upper, lower] : [lower];
  const reasons = [
    `header: ${isTwo ? 'lines' : 'line'} ${headers.map(({ line }) => line).join(' and ')} ${isTwo ? 'hold' : 'holds'} words, and line ${rows.line(first)} is the first with values`,
    ...(unit === null ? [] : [`units: line ${unit.line} holds units`]),
  ];
  const leaveOut: { line: number; why: string }[] = [];
  for (const row of rows.between(first)) {
    const why = notData(row, lower);
    if (why !== null) leaveOut.push({ line: row.line, why });
  }
  return {
    headerLines: headers.map(({ line }) => line),
    unitLine: unit?.line ?? null,
    firstLine: rows.line(first),
    leaveOut,
    reasons,
  };
}

/** Why a line below the header is no data; null where it is. */
function notData(row: SheetRow, header: SheetRow): string | null {
  const word = row.cells.find((cell) => cell.trim() !== '')?.trim() ?? '';
  if (SUMMARY.test(word)) return `it begins with '${word}', so it is worked out from other lines`;
  const same = header.cells.every((cell, index) => cell.trim() === cellOf(row, index).trim());
  return same ? 'it is the header again' : null;
}

function isValue(row: SheetRow, index: number): boolean {
  const kind = kindOf(row, index);
  if (kind === 'number' || kind === 'date') return true;
  const text = cellOf(row, index);
  if (text.trim() === '') return false;
  return (
    writtenNumber(text, '.') !== null ||
    writtenNumber(text, ',') !== null ||
    dateParts(text) !== null ||
    timeOfDay(text) !== null ||
    writtenDate(text, 'day-first', 2000) !== null
  );
}

function isUnitLine(row: SheetRow): boolean {
  const cells = row.cells.filter((cell) => !MISSING_WORDS.includes(cell.trim().toLowerCase()));
  return cells.length > 0 && 2 * cells.filter((cell) => unitIn(cell) !== null).length >= cells.length;
}

/** Whether the upper line names groups of the lower one's columns: it is merged, or has gaps where the lower has words. */
function spreads(upper: SheetRow, lower: SheetRow, merged: readonly Merge[]): boolean {
  if (merged.some(({ rows: [from], columns: [left, right] }) => from === upper.line && right > left))
    return true;
  return lower.cells.some(
    (cell, index) => cell.trim() !== '' && index > 0 && cellOf(upper, index).trim() === '',
  );
}

/**
 * The name of each column: the words of the header lines, an upper word standing over the columns to its right until the
 * next, or as far as its cells are merged.
 *
 * @example headersOf(rows, [1, 2], []) // ['Date', 'Club Speed', 'Club Path', 'Ball Speed']
 */
export function headersOf(
  rows: SheetRows,
  headerLines: readonly number[],
  merged: readonly Merge[],
): readonly string[] {
  const lines = headerLines.flatMap((line) => rowsAt(rows, line));
  const lower = lines.at(-1);
  if (lower === undefined) return [];
  const columns = Math.max(...lines.map(({ cells }) => cells.length));
  return Array.from({ length: columns }, (_, index) => {
    const parts = lines.map((row) => {
      const own = cellOf(row, index).trim();
      if (own !== '' || row === lower) return own;
      const merge = merged.find(
        ({ rows: [from, to], columns: [left, right] }) =>
          row.line >= from && row.line <= to && index + 1 >= left && index + 1 <= right,
      );
      if (merge !== undefined) return cellOf(row, merge.columns[0] - 1).trim();
      if (merged.some(({ rows: [from] }) => from === row.line)) return '';
      for (let left = index; left >= 0; left -= 1)
        if (cellOf(row, left).trim() !== '') return cellOf(row, left).trim();
      return '';
    });
    return [...new Set(parts.filter((part) => part !== ''))].join(' ').replace(/\s+/g, ' ');
  });
}

/** The rows of one line: one, or none; a damaged workbook may have several. */
function rowsAt(rows: SheetRows, line: number): SheetRow[] {
  const at: SheetRow[] = [];
  for (let index = rows.from(line); index < rows.length && rows.line(index) === line; index += 1)
    at.push(rows.row(index));
  return at;
}
