import { decimalsFor, type FigureTable, formatInterval, formatQuantity } from '../report/index.ts';
import type { Finding } from '../studies/index.ts';

/** Longest text of a cell of a table in plain text. */
const LONGEST = 40;

/** A table as lines of plain text, columns set apart by two spaces. */
export function tableText({ columns, rows }: FigureTable): string {
  const cells = [
    columns.map(({ label, unit }) => (unit === undefined || unit === '' ? label : `${label} (${unit})`)),
    ...rows.map((row) => columns.map(({ key }) => cellText(row[key] ?? null))),
  ].map((row) => row.map((text) => shortened(text.replaceAll(/\s+/g, ' '))));
  const widths = columns.map((_, k) => Math.max(...cells.map((row) => (row[k] ?? '').length)));
  const numeric = columns.map(({ key }) => rows.some((row) => typeof row[key] === 'number'));
  return cells
    .map((row) =>
      row
        .map((text, k) => (numeric[k] === true ? text.padStart(widths[k] ?? 0) : text.padEnd(widths[k] ?? 0)))
        .join('  ')
        .trimEnd(),
    )
    .join('\n');
}

/** A Finding as lines of plain text: what was asked, the answer, each estimate with its interval. */
export function findingText(finding: Finding): string {
  const estimates = finding.estimates.map(({ name, value, interval, level, unit }) => {
    const [low, high] = interval;
    const decimals = decimalsFor(low === null || high === null ? null : (high - low) / 2);
    const range =
      low === null && high === null ? '' : ` (${formatInterval(interval, unit, decimals)}, level ${level})`;
    return `${name}: ${formatQuantity(value, unit, decimals)}${range}`;
  });
  return [finding.question, finding.answer, ...estimates].join('\n');
}

function cellText(value: string | number | null): string {
  if (value === null) return '–';
  return typeof value === 'number' ? String(Number(value.toPrecision(6))) : value;
}

function shortened(text: string): string {
  return text.length <= LONGEST ? text : `${text.slice(0, LONGEST - 1)}…`;
}
