import type { Capture } from '../capture.ts';
import { readCsvCapture } from '../csv/read-csv-capture.ts';
import { threePointFlexion } from '../geometry/angles.ts';
import type { Vector } from '../geometry/vector.ts';
import type { CaptureProblem, CaptureResult } from '../problem.ts';
import { type IsbElbowPoints, isbElbow } from './isb-elbow.ts';

/** The roles that each definition needs. */
export const ANGLE_ROLES = {
  'three-point-elbow': ['shoulder', 'elbow', 'wrist'],
  'isb-elbow': ['shoulder', 'lateral_epicondyle', 'medial_epicondyle', 'radial_styloid', 'ulnar_styloid'],
} as const;

export type AngleDefinition = keyof typeof ANGLE_ROLES;

export interface AngleInput {
  readonly definition: string;
  /** A table with the columns NAME_x, NAME_y, NAME_z. */
  readonly csvBytes: Uint8Array;
  /** Role to NAME. `A+B` stands for the midpoint of A and B. */
  readonly points: Readonly<Record<string, string>>;
  /** A left arm is mirrored before the ISB frames are built; it makes no difference to three points. */
  readonly side?: 'right' | 'left';
}

export interface ThreePointRow {
  /** Row of data, counted from 1. */
  readonly row: number;
  /** 180 minus the included angle; null where a point is missing. */
  readonly angle_deg: number | null;
}

export interface IsbRow {
  readonly row: number;
  readonly flexion_deg: number | null;
  readonly carrying_deg: number | null;
  readonly pronation_deg: number | null;
}

export interface AngleSeries {
  readonly definition: AngleDefinition;
  readonly series: readonly (ThreePointRow | IsbRow)[];
  readonly warnings: readonly string[];
}

/**
 * A joint angle, row by row, from any table of points. Angles do not depend on the unit of length, nor on which way is
 * up.
 *
 * @example angleSeries({ definition: 'three-point-elbow', csvBytes, points: { shoulder: 'S', elbow: 'E', wrist: 'W' } })
 */
export function angleSeries({ definition, csvBytes, points, side }: AngleInput): CaptureResult<AngleSeries> {
  if (!(definition in ANGLE_ROLES))
    return refused([
      {
        where: 'definition',
        found: definition,
        expected: `one of ${Object.keys(ANGLE_ROLES).join(', ')}`,
        remedy: 'Name one of the definitions.',
      },
    ]);
  const known = definition as AngleDefinition;
  const read = readCsvCapture(csvBytes);
  if (!read.ok) return read;
  const { capture } = read.value;
  const roles: readonly string[] = ANGLE_ROLES[known];
  const problems = checkRoles(roles, points, capture);
  if (problems.length > 0) return refused(problems);
  const at = (role: string, row: number): Vector => pointAt(capture, points[role]!, row, side === 'left');
  const series = Array.from({ length: capture.frames }, (_, row) =>
    known === 'isb-elbow' ? isbRow(at, row) : threePointRow(at, row),
  );
  return { ok: true, value: { definition: known, series, warnings: warningsOf(series) } };
}

function threePointRow(at: (role: string, row: number) => Vector, row: number): ThreePointRow {
  const angle = threePointFlexion(at('shoulder', row), at('elbow', row), at('wrist', row));
  return { row: row + 1, angle_deg: Number.isNaN(angle) ? null : angle };
}

function isbRow(at: (role: string, row: number) => Vector, row: number): IsbRow {
  const entries = ANGLE_ROLES['isb-elbow'].map((role) => [role, at(role, row)]);
  const elbow = isbElbow(Object.fromEntries(entries) as unknown as IsbElbowPoints);
  const orNull = (v: number): number | null => (Number.isNaN(v) ? null : v);
  return {
    row: row + 1,
    flexion_deg: orNull(elbow.flexion_deg),
    carrying_deg: orNull(elbow.carrying_deg),
    pronation_deg: orNull(elbow.pronation_deg),
  };
}

function checkRoles(
  roles: readonly string[],
  points: Readonly<Record<string, string>>,
  capture: Capture,
): CaptureProblem[] {
  const missing = roles
    .filter((role) => points[role] === undefined)
    .map(
      (role): CaptureProblem => ({
        where: `points ${role}`,
        found: 'nothing',
        expected: `the name of the point that is the ${role.replaceAll('_', ' ')}`,
        remedy: `Add ${role}=NAME.`,
      }),
    );
  const unknown = Object.keys(points)
    .filter((role) => !roles.includes(role))
    .map(
      (role): CaptureProblem => ({
        where: `points ${role}`,
        found: 'a role that this definition does not have',
        expected: `only ${roles.join(', ')}`,
        remedy: 'Remove it, or correct its spelling.',
      }),
    );
  const absent = roles.flatMap((role) =>
    namesOf(points[role] ?? '')
      .filter((name) => !capture.labels.includes(name))
      .map(
        (name): CaptureProblem => ({
          where: `points ${role}`,
          found: `${name}, which the table does not have`,
          expected: `one of ${capture.labels.join(', ')}`,
          remedy: 'Correct the name, or add its columns to the table.',
        }),
      ),
  );
  return [...missing, ...unknown, ...absent];
}

function namesOf(text: string): string[] {
  return text
    .split('+')
    .map((name) => name.trim())
    .filter((name) => name !== '');
}

function pointAt(capture: Capture, text: string, row: number, mirrored: boolean): Vector {
  const names = namesOf(text);
  const sum = [0, 0, 0];
  for (const name of names) {
    const at = 3 * (row * capture.labels.length + capture.labels.indexOf(name));
    for (let k = 0; k < 3; k++) sum[k] = sum[k]! + capture.coordinates[at + k]! / names.length;
  }
  return [sum[0]!, sum[1]!, mirrored ? -sum[2]! : sum[2]!];
}

function warningsOf(series: readonly (ThreePointRow | IsbRow)[]): string[] {
  const warnings: string[] = [];
  const missing = series.filter(
    (row) => ('angle_deg' in row ? row.angle_deg : row.flexion_deg) === null,
  ).length;
  if (missing > 0) warnings.push(`${missing} rows have a point missing; their angle is empty.`);
  const isb = series.filter((row): row is IsbRow => 'flexion_deg' in row && row.flexion_deg !== null);
  const straight = isb.filter((row) => Math.abs(row.flexion_deg!) < 20).length;
  if (straight > 0)
    warnings.push(`In ${straight} rows the elbow is within 20 deg of straight, where its axes are unsteady.`);
  const singular = isb.filter((row) => Math.abs(row.carrying_deg!) > 80).length;
  if (singular > 0)
    warnings.push(
      `In ${singular} rows the carrying angle is near 90 deg: flexion and pronation are not told apart.`,
    );
  return warnings;
}

function refused(problems: readonly CaptureProblem[]): CaptureResult<AngleSeries> {
  return { ok: false, problems };
}
