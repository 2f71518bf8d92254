import { quantityCatalogue } from '../../kinematics/index.ts';
import type { Problem } from '../problem.ts';
import { nearest } from '../read/nearest.ts';
import { readColumns } from '../read-columns.ts';
import { numberCell, requiredColumns } from './cells.ts';
import { CURVES_FILE, type MeasuredCurve } from './curve-set.ts';

const COLUMNS = ['swing_id', 'quantity', 'time_pct', 'value_deg'] as const;

/** The measured curves, or every problem of the file. */
export type ReadCurves =
  | { readonly ok: true; readonly curves: readonly MeasuredCurve[] }
  | { readonly ok: false; readonly problems: readonly Problem[] };

/**
 * Reads curves.csv: one row for each sample, with swing_id, quantity (an id of the catalogue), time_pct (0 the top, 100
 * impact, rising within a curve) and value_deg (empty where the sample is missing). All faults come at once.
 *
 * @example
 * const times = Array.from({ length: 101 }, (_, percent) => `G01-S1-01,lag_angle,${percent},${90 - percent / 2}`);
 * const read = readCurves(new TextEncoder().encode(['swing_id,quantity,time_pct,value_deg', ...times].join('\n')));
 * read.ok && read.curves[0] // { swing: 'G01-S1-01', quantity: 'lag_angle', ... }
 */
export function readCurves(bytes: Uint8Array): ReadCurves {
  const read = readColumns(CURVES_FILE, bytes);
  if (!read.ok) return read;
  const missing = requiredColumns(CURVES_FILE, read.columns, COLUMNS);
  if (missing.length > 0) return { ok: false, problems: missing };
  const [swings, quantities, times, values] = COLUMNS.map((name) => read.columns[name]!) as [
    readonly (string | null)[],
    readonly (string | null)[],
    readonly (string | null)[],
    readonly (string | null)[],
  ];
  const problems: Problem[] = [];
  const fault = (
    row: number,
    column: string,
    rest: Pick<Problem, 'kind' | 'found' | 'expected' | 'remedy'>,
  ) => problems.push({ severity: 'error', table: CURVES_FILE, row: row + 2, column, ...rest });
  const ids = quantityCatalogue.map(({ id }) => id);
  const known = new Set(ids);
  const unknown = new Set<string>();
  const samples = new Map<string, { swing: string; quantity: string; times: number[]; values: number[] }>();
  swings.forEach((swing, row) => {
    const quantity = quantities[row] ?? null;
    const time = numberCell(times[row] ?? null);
    const value = numberCell(values[row] ?? null);
    for (const [column, cell] of [
      ['swing_id', swing],
      ['quantity', quantity],
    ] as const)
      if (cell === null)
        fault(row, column, {
          kind: 'missing-value',
          found: 'nothing',
          expected: 'a value in every row',
          remedy: 'Fill in the cell, or take the row away.',
        });
    if (quantity !== null && !known.has(quantity) && !unknown.has(quantity)) {
      unknown.add(quantity);
      const meant = nearest(quantity, ids);
      fault(row, 'quantity', {
        kind: 'not-allowed',
        found: quantity,
        expected: `a quantity of the catalogue: ${ids.join(', ')}`,
        remedy:
          meant === null
            ? 'Use one of these, letter for letter.'
            : `Write ${meant}, if that is what is meant.`,
      });
    }
    if (time === null || time === 'not a number' || time < 0 || time > 100)
      fault(row, 'time_pct', {
        kind: typeof time === 'number' ? 'out-of-range' : time === null ? 'missing-value' : 'not-a-number',
        found: times[row] ?? 'nothing',
        expected: 'per cent of the downswing, from 0 (top) to 100 (impact)',
        remedy: 'Correct the time; samples before the top or after impact do not belong here.',
      });
    if (value === 'not a number')
      fault(row, 'value_deg', {
        kind: 'not-a-number',
        found: values[row] ?? '',
        expected: 'a number, or nothing where the sample is missing',
        remedy: 'Correct the number, with a point and no unit, or leave the cell empty.',
      });
    if (swing === null || quantity === null || typeof time !== 'number' || value === 'not a number') return;
    const key = JSON.stringify([swing, quantity]);
    let curve = samples.get(key);
    if (curve === undefined) {
      curve = { swing, quantity, times: [], values: [] };
      samples.set(key, curve);
    }
    const last = curve.times.at(-1);
    if (last !== undefined && time <= last)
      fault(row, 'time_pct', {
        kind: time === last ? 'duplicate-key' : 'not-allowed',
        found: `${time} after ${last} in the ${quantity} of ${swing}`,
        expected: 'times that rise within a curve',
        remedy:
          time === last
            ? 'Take one of the two samples away, or correct the id of the swing.'
            : 'Sort the rows of each curve by time, or correct the id of the swing.',
      });
    curve.times.push(time);
    curve.values.push(value ?? Number.NaN);
  });
  if (problems.length > 0) return { ok: false, problems };
  return {
    ok: true,
    curves: [...samples.values()].map((curve) => ({
      swing: curve.swing,
      quantity: curve.quantity,
      time_pct: Float64Array.from(curve.times),
      values: Float64Array.from(curve.values),
    })),
  };
}
