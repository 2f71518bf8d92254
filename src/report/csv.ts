import { cellOfText } from '../dataset/index.ts';
import type { FigureTable } from './figure.ts';

export { textOfCell } from '../dataset/index.ts';

/** Where a cell must be quoted: RFC 4180's signs, and those that other countries' spreadsheets part cells at. */
const QUOTED = /[",;|\t\r\n]/;

/** A text that a spreadsheet would take for a formula gets one quote mark before it; numbers stay numbers. */
function cell(value: string | number | null | undefined): string {
  if (value === null || value === undefined) return '';
  if (typeof value === 'number') return Number.isFinite(value) ? String(value) : '';
  const safe = cellOfText(value);
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
