import { escapeMarkup, shortLabel } from './escape.ts';
import type { FigureTable } from './figure.ts';
import { decimalsFor, formatNumber, unitSuffix } from './numbers.ts';
import { textHtml } from './text-html.ts';

/** How a table of data is titled, and how long a cell may be. */
export interface DataTableOptions {
  readonly caption: string;
  /** Longest text shown in a cell before its middle is left out (the whole is in its title). Default 40. */
  readonly longest?: number;
}

/** Decimals that suit a column: whole numbers as such, otherwise by how far its values spread. */
function columnDecimals(values: readonly (string | number | null)[]): number {
  const numbers = values.filter(
    (value): value is number => typeof value === 'number' && Number.isFinite(value),
  );
  if (numbers.every(Number.isInteger)) return 0;
  const low = numbers.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY);
  const high = numbers.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY);
  return decimalsFor((high > low ? high - low : Math.abs(high)) / 10, 6);
}

/** From this many characters on a text has a wide column, so that it does not run down the page in a thin one. */
const longText = 18;

const widthClass = (text: string): string => (text.length >= longText ? ' class="words"' : '');

function cellHtml(value: string | number | null | undefined, decimals: number, longest: number): string {
  if (value === null || value === undefined) return '<td class="none">–</td>';
  if (typeof value === 'string') return `<td${widthClass(value)}>${textHtml(value, longest)}</td>`;
  return `<td class="number" data-value="${String(value)}">${formatNumber(value, decimals)}</td>`;
}

/**
 * A table of plain data as HTML, with a caption, scoped headings, numbers to sensible digits (each with its
 * machine value in `data-value`), in a region that scrolls by itself where it is wider than the page.
 * @example dataTableHtml(figure.table, { caption: 'Each golfer' }).includes('<caption>Each golfer</caption>') // true
 */
export function dataTableHtml(table: FigureTable, options: DataTableOptions): string {
  const { caption, longest = 40 } = options;
  const decimals = table.columns.map(({ key }) => columnDecimals(table.rows.map((row) => row[key] ?? null)));
  const isNumber = table.columns.map(({ key }) => table.rows.some((row) => typeof row[key] === 'number'));
  const head = table.columns
    .map(({ label, unit }, k) => {
      const suffix =
        unit === undefined || unit === '' ? '' : ` <small>${escapeMarkup(unitSuffix(unit).trim())}</small>`;
      return `<th scope="col"${isNumber[k] ? ' class="number"' : ''}>${textHtml(label, longest)}${suffix}</th>`;
    })
    .join('');
  const body = table.rows
    .map((row) => {
      const cells = table.columns.map(({ key }, k) => {
        const value = row[key] ?? null;
        if (k > 0 || typeof value !== 'string') return cellHtml(value, decimals[k] ?? 1, longest);
        return `<th scope="row"${widthClass(value)}>${textHtml(value, longest)}</th>`;
      });
      return `<tr>${cells.join('')}</tr>`;
    })
    .join('\n');
  return (
    `<div class="scroll" role="group" tabindex="0" aria-label="${escapeMarkup(shortLabel(caption, 80))}">` +
    `<table class="data"><caption>${escapeMarkup(shortLabel(caption, 200))}</caption>\n<thead><tr>${head}</tr></thead>\n` +
    `<tbody>\n${body}\n</tbody></table></div>`
  );
}
