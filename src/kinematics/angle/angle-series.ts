import { NEARLY_STRAIGHT_DEG } from '../geometry/isb-frames.ts';
import type { CaptureProblem, CaptureResult } from '../problem.ts';
import { type AngleDefinition, workAngle } from './definition.ts';
import { markerSds } from './error-budget.ts';
import { notSeen, whyNoAngle } from './no-angle.ts';
import { lengthWarnings } from './plausible-arm.ts';
import { type AngleInput, armOf, type Markers, type PointTable, readPoints } from './point-table.ts';

/** The elbow angle of one row from three points, deg. */
export interface ThreePointRow {
  /** Row of data, counted from 1. */
  readonly row: number;
  /** 180 minus the included angle; null where the points give none. */
  readonly angle_deg: number | null;
  readonly angle_deg_sd?: number | null;
  /** Why there is no angle, only where there is none. */
  readonly reason?: string;
}

/**
 * The three elbow angles of one row by the ISB convention, deg, null where the points give none; the row is counted
 * from 1, and `_sd` is there where a noise was given.
 */
export interface IsbRow {
  readonly row: number;
  readonly flexion_deg: number | null;
  readonly carrying_deg: number | null;
  readonly pronation_deg: number | null;
  readonly flexion_deg_sd?: number | null;
  readonly carrying_deg_sd?: number | null;
  readonly pronation_deg_sd?: number | null;
  readonly reason?: string;
}

/** A joint angle, row by row, with warnings about the table; degrees. */
export interface AngleSeries {
  readonly definition: AngleDefinition;
  readonly series: readonly (ThreePointRow | IsbRow)[];
  readonly warnings: readonly string[];
}

const ANGLE_NAMES = {
  'three-point-elbow': ['angle_deg'],
  'isb-elbow': ['flexion_deg', 'carrying_deg', 'pronation_deg'],
} as const;
/** Rows without an angle that are named one by one. */
const MOST_NAMED = 5;

/**
 * A joint angle, row by row, from any table of points. Angles do not depend on the unit of length, nor on which way is
 * up. A row whose points give no angle stays in the series as null, with the reason.
 *
 * @example
 * const csvBytes = new TextEncoder().encode('S_x,S_y,S_z,E_x,E_y,E_z,W_x,W_y,W_z\n0,1,0,0,0,0,1,0,0\n');
 * const points = { shoulder: 'S', elbow: 'E', wrist: 'W' };
 * const series = angleSeries({ definition: 'three-point-elbow', csvBytes, points });
 * series.ok && series.value.series[0] // { row: 1, angle_deg: 90, ... }
 */
export function angleSeries(input: AngleInput): CaptureResult<AngleSeries> {
  const read = readPoints(input);
  return read.ok ? seriesOf(read.value) : read;
}

/**
 * The same from points already read.
 *
 * @param noise_mm standard deviation of each coordinate of each marker; puts `<angle>_sd` beside each angle
 * @returns a problem where no row gives an angle although its points were seen, or where the unit of the table is
 *   not known and noise in millimetres was given
 * @example
 * const csvBytes = new TextEncoder().encode('S_x,S_y,S_z,E_x,E_y,E_z,W_x,W_y,W_z\n0,1,0,0,0,0,1,0,0\n');
 * const read = readPoints({ definition: 'three-point-elbow', csvBytes, points: { shoulder: 'S', elbow: 'E', wrist: 'W' }, unit: 'm' });
 * // A right angle between arms of a metre, 1 mm of noise in each coordinate of each marker: SD 2 mm / 1 m = 0.002 rad.
 * const worked = read.ok && seriesOf(read.value, 1);
 * worked && worked.ok && worked.value.series // [{ row: 1, angle_deg: 90, angle_deg_sd: 0.1146 }]
 */
export function seriesOf(table: PointTable, noise_mm?: number): CaptureResult<AngleSeries> {
  const reasons = table.rows.map((markers) => whyNoAngle(table, markers));
  if (reasons.every((reason) => reason !== null)) {
    const seen = table.rows.findIndex((markers) => notSeen(table, markers).length === 0);
    if (seen >= 0) return { ok: false, problems: [noRow(reasons[seen]!)] };
  }
  const sds = noise_mm === undefined ? null : markerSds(table, noise_mm);
  if (sds?.ok === false) return sds;
  const series = table.rows.map((markers, k) => rowOf(table, markers, k + 1, reasons[k]!, sds?.value));
  return {
    ok: true,
    value: {
      definition: table.definition,
      series,
      warnings: [...missingWarning(reasons), ...stateWarnings(table, reasons), ...lengthWarnings(table)],
    },
  };
}

function rowOf(
  table: PointTable,
  markers: Markers,
  row: number,
  reason: string | null,
  sdsOf: ((markers: Markers) => Readonly<Record<string, number>>) | undefined,
): ThreePointRow | IsbRow {
  const angles = reason === null ? workAngle(table.definition, armOf(table, markers)).angles : {};
  const sds = reason === null ? (sdsOf?.(markers) ?? {}) : {};
  const cells = ANGLE_NAMES[table.definition].flatMap((name) => [
    [name, angles[name] ?? null],
    ...(sdsOf === undefined ? [] : [[`${name}_sd`, sds[name] ?? null]]),
  ]);
  return { row, ...Object.fromEntries(cells), ...(reason === null ? {} : { reason }) };
}

function missingWarning(reasons: readonly (string | null)[]): string[] {
  const without = reasons.flatMap((reason, k) => (reason === null ? [] : [`row ${k + 1}: ${reason}`]));
  if (without.length === 0) return [];
  const more = without.length - MOST_NAMED;
  const named = without.slice(0, MOST_NAMED).join('; ');
  return [
    `${without.length} ${without.length === 1 ? 'row gives' : 'rows give'} no angle and stay empty (${named}${more > 0 ? `; and ${more} more` : ''}).`,
  ];
}

function stateWarnings(table: PointTable, reasons: readonly (string | null)[]): string[] {
  const worked = table.rows
    .filter((_, k) => reasons[k] === null)
    .map((markers) => workAngle(table.definition, armOf(table, markers)));
  const warnings: string[] = [];
  const straight = worked.filter(({ flexion_deg }) => Math.abs(flexion_deg) < NEARLY_STRAIGHT_DEG).length;
  if (straight > 0)
    warnings.push(
      `In ${straight} rows the elbow is within ${NEARLY_STRAIGHT_DEG} deg of straight, where its axes are unsteady: upper arm and forearm hardly fix the plane in which it bends.`,
    );
  const singular = worked.filter(({ angles }) => Math.abs(angles.carrying_deg ?? 0) > 80).length;
  if (singular > 0)
    warnings.push(
      `In ${singular} rows the carrying angle is near 90 deg: flexion and pronation are not told apart.`,
    );
  return warnings;
}

function noRow(reason: string): CaptureProblem {
  return {
    where: 'points',
    found: `no row that gives an angle: ${reason}`,
    expected: 'points that do not lie on one line or fall together',
    remedy: 'Look whether each role has its own marker.',
  };
}
