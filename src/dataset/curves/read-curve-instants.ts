import { instantCatalogue } from '../../kinematics/index.ts';
import type { Problem } from '../problem.ts';
import { readColumns } from '../read-columns.ts';
import { numberCell, requiredColumns } from './cells.ts';
import { CURVE_INSTANTS_FILE } from './curve-set.ts';

const COLUMNS = ['swing_id', 'instant', 'time_pct'] as const;

/** Times of instants (per cent of the downswing: 0 at the top, 100 at impact) by swing and name, or every problem of the file. */
export type ReadCurveInstants =
  | { readonly ok: true; readonly instants: ReadonlyMap<string, ReadonlyMap<string, number>> }
  | { readonly ok: false; readonly problems: readonly Problem[] };

/**
 * Reads curve-instants.csv: when, in per cent of the downswing, each swing passed an instant between top and impact, such
 * as `lead arm parallel` or `delivery`. A row without a time says that the instant was not found.
 *
 * @example
 * const read = readCurveInstants(new TextEncoder().encode('swing_id,instant,time_pct\nW1,delivery,71.5\nW1,lead arm parallel,\n'));
 * read.ok && read.instants.get('W1')?.get('delivery') // 71.5
 * read.ok && read.instants.get('W1')?.has('lead arm parallel') // false
 */
export function readCurveInstants(bytes: Uint8Array): ReadCurveInstants {
  const read = readColumns(CURVE_INSTANTS_FILE, bytes);
  if (!read.ok) return read;
  const missing = requiredColumns(CURVE_INSTANTS_FILE, read.columns, COLUMNS);
  if (missing.length > 0) return { ok: false, problems: missing };
  const names = instantCatalogue.map(({ name }) => name as string);
  const problems: Problem[] = [];
  const instants = new Map<string, Map<string, number>>();
  read.columns.swing_id!.forEach((swing, row) => {
    const fault = (column: string, rest: Pick<Problem, 'kind' | 'found' | 'expected' | 'remedy'>) =>
      problems.push({ severity: 'error', table: CURVE_INSTANTS_FILE, row: row + 2, column, ...rest });
    const instant = read.columns.instant![row] ?? null;
    const cell = read.columns.time_pct![row] ?? null;
    const time = numberCell(cell);
    if (swing === null)
      fault('swing_id', {
        kind: 'missing-value',
        found: 'nothing',
        expected: 'the id of a swing',
        remedy: 'Fill in the cell, or take the row away.',
      });
    if (instant === null || !names.includes(instant))
      fault('instant', {
        kind: 'not-allowed',
        found: instant ?? 'nothing',
        expected: `an instant in words: ${names.join(', ')}`,
        remedy: 'Write one of these, letter for letter.',
      });
    if (time !== null && (time === 'not a number' || time <= 0 || time >= 100))
      fault('time_pct', {
        kind: time === 'not a number' ? 'not-a-number' : 'out-of-range',
        found: cell ?? '',
        expected: 'per cent of the downswing, after the top (0) and before impact (100)',
        remedy: 'Correct the time, or leave the cell empty where the instant was not found.',
      });
    if (swing === null || instant === null || typeof time !== 'number') return;
    const own = instants.get(swing) ?? new Map<string, number>();
    if (own.has(instant))
      fault('instant', {
        kind: 'duplicate-key',
        found: `${instant} again for ${swing}`,
        expected: 'each instant once for each swing',
        remedy: 'Take one of the two rows away.',
      });
    own.set(instant, time);
    instants.set(swing, own);
  });
  return problems.length > 0 ? { ok: false, problems } : { ok: true, instants };
}
