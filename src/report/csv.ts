import type { FigureTable } from './figure.ts';

/**
 * How a text begins that a spreadsheet would run: the signs of OWASP's "CSV Injection" page, in their full-width form
 * too, also after blanks and invisible signs, which some programs take off. A line end within begins a new cell for a
 * program that reads line by line. Quote marks before it are counted in, so that a text that had one of its own gets one
 * more, and taking one away always gives the text back.
 */
const FORMULA = /^'*(?:(?:|.*[\t\r\n])[\s\p{Cf}]*[=+\-@＝＋－＠]|[\t\r\n])/su;
/** Where a cell must be quoted: RFC 4180's signs, and those that other countries' spreadsheets part cells at. */
const QUOTED = /[",;|\t\r\n]/;

/** A text that a spreadsheet would take for a formula gets one quote mark before it; numbers stay numbers. */
function cell(value: string | number | null | undefined): string {
  if (value === null || value === undefined) return '';
  if (typeof value === 'number') return Number.isFinite(value) ? String(value) : '';
  const safe = FORMULA.test(value) ? `'${value}` : value;
  return QUOTED.test(safe) || safe !== safe.trim() ? `"${safe.replaceAll('"', '""')}"` : safe;
}

/**
 * A table as CSV: a header line with units in the names, full-precision numbers, an empty cell where a value
 * is missing, and no cell that a spreadsheet would run as a formula: such a text has one ' before it, and `textOfCell`
 * takes it away again.
 * @example tableCsv({ columns: [{ key: 'g', label: 'golfer' }], rows: [{ g: '=1+1' }] }) // "golfer\n'=1+1\n"
 */
export function tableCsv(table: FigureTable): string {
  const head = table.columns.map(({ label, unit }) => cell(unit ? `${label} (${unit})` : label));
  const lines = table.rows.map((row) => table.columns.map(({ key }) => cell(row[key])).join(','));
  return `${[head.join(','), ...lines].join('\n')}\n`;
}

/**
 * The text that a cell of our tables stands for, as a CSV reader gives it: the quote mark before what a spreadsheet
 * would have run is taken away.
 * @example textOfCell("'=1+1") // '=1+1'
 */
export function textOfCell(cell: string): string {
  return cell.startsWith("'") && FORMULA.test(cell.slice(1)) ? cell.slice(1) : cell;
}
