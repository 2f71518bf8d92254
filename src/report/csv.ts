import type { FigureTable } from './figure.ts';

/** A text that a spreadsheet would take for a formula gets a quote mark before it; numbers stay numbers. */
function cell(value: string | number | null | undefined): string {
  if (value === null || value === undefined) return '';
  if (typeof value === 'number') return Number.isFinite(value) ? String(value) : '';
  const safe = /^\s*[=+\-@]|^[\t\r\n]/.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(safe) || safe !== safe.trim() ? `"${safe.replaceAll('"', '""')}"` : safe;
}

/**
 * A table as CSV: a header line with units in the names, full-precision numbers, an empty cell where a value
 * is missing, and no cell that a spreadsheet would run as a formula.
 * @example tableCsv({ columns: [{ key: 'g', label: 'golfer' }], rows: [{ g: '=1+1' }] }) // "golfer\n'=1+1\n"
 */
export function tableCsv(table: FigureTable): string {
  const head = table.columns.map(({ label, unit }) => cell(unit ? `${label} (${unit})` : label));
  const lines = table.rows.map((row) => table.columns.map(({ key }) => cell(row[key])).join(','));
  return `${[head.join(','), ...lines].join('\n')}\n`;
}
