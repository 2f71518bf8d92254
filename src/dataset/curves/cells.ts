import type { Problem } from '../problem.ts';

/** A number written with a point; null where the cell is empty. */
export function numberCell(text: string | null): number | null | 'not a number' {
  if (text === null || text.trim() === '') return null;
  const value = /^\s*[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?\s*$/.test(text) ? Number(text) : Number.NaN;
  return Number.isFinite(value) ? value : 'not a number';
}

/** A problem for each column that must be there and is not. */
export function requiredColumns(
  file: string,
  columns: Readonly<Record<string, unknown>>,
  required: readonly string[],
): Problem[] {
  return required
    .filter((name) => !Object.hasOwn(columns, name))
    .map((name) => ({
      kind: 'missing-column',
      severity: 'error',
      table: file,
      row: 1,
      column: name,
      found: `the columns ${Object.keys(columns).join(', ')}`,
      expected: `the columns ${required.join(', ')}`,
      remedy: `Add the column ${name}, or correct its name.`,
    }));
}
