import Papa from 'papaparse';
import { markerOfColumn } from '../csv/columns.ts';
import { readCsvCapture } from '../csv/read-csv-capture.ts';
import { add, scale, type Vector } from '../geometry/vector.ts';
import { METRES_PER_UNIT } from '../layout/layout.ts';
import type { CaptureProblem, CaptureResult } from '../problem.ts';
import { checkNames, checkRoles, namesOf } from './check-points.ts';
import { ANGLE_ROLES, type AngleDefinition, type ArmPoints } from './definition.ts';
import { backwardsElbow, inferUnit } from './plausible-arm.ts';

/** A unit of length that a table of points may be in. */
export type LengthUnit = keyof typeof METRES_PER_UNIT;

/** A table of points and what is to be computed from it. */
export interface AngleInput {
  readonly definition: string;
  /** A table with the columns NAME_x, NAME_y, NAME_z. */
  readonly csvBytes: Uint8Array;
  /** Role to NAME. `A+B` stands for the midpoint of A and B. */
  readonly points: Readonly<Record<string, string>>;
  /** A left arm is mirrored before the ISB frames are built; it makes no difference to three points. Default right. */
  readonly side?: 'right' | 'left';
  /** Unit of length of the table, where its columns do not say. Only the error budget needs it. */
  readonly unit?: LengthUnit;
}

/** Positions of markers by their names in the table. */
export type Markers = ReadonlyMap<string, Vector>;

/** The points of an angle, row by row, as the table has them. */
export interface PointTable {
  readonly definition: AngleDefinition;
  readonly side: 'right' | 'left';
  /** Names of the markers of each role, and those names once each. */
  readonly namesOf: Readonly<Record<string, readonly string[]>>;
  readonly names: readonly string[];
  /** Markers of each row of data; coordinates are NaN where one was not seen. A left arm is mirrored already. */
  readonly rows: readonly Markers[];
  /** Unit of length, and how it is known; null where nothing tells it. */
  readonly unit: { readonly unit: LengthUnit; readonly from: 'given' | 'columns' | 'lengths' } | null;
}

/**
 * Reads the points of an angle from a table. Only the columns of the points asked for are read, so that whatever else
 * the table holds is no matter; rows are the rows of data, counted from 1. Angles depend neither on the unit of
 * length nor on which way is up.
 *
 * @returns problems: an unknown definition or role, a point the table lacks (with the nearest it has), text in a
 *   number, an elbow that bends backwards
 * @example
 * const csvBytes = new TextEncoder().encode('S_x,S_y,S_z,E_x,E_y,E_z,W_x,W_y,W_z\n0,1,0,0,0,0,1,0,0\n');
 * const points = { shoulder: 'S', elbow: 'E', wrist: 'W' };
 * const read = readPoints({ definition: 'three-point-elbow', csvBytes, points });
 * read.ok && read.value.rows[0]!.get('S') // [0, 1, 0]
 */
export function readPoints(input: AngleInput): CaptureResult<PointTable> {
  const { definition, csvBytes, points, side = 'right' } = input;
  if (!Object.hasOwn(ANGLE_ROLES, definition)) return refused([unknownDefinition(definition)]);
  const known = definition as AngleDefinition;
  const problems = checkRoles(known, points);
  if (problems.length > 0) return refused(problems);
  const named = Object.fromEntries(ANGLE_ROLES[known].map((role) => [role, namesOf(points[role]!)]));
  const names = [...new Set(Object.values(named).flat())];
  const picked = pickColumns(csvBytes, new Set(names));
  const read = readCsvCapture(picked.bytes);
  if (!read.ok) return read;
  const { capture } = read.value;
  const absent = checkNames(points, picked.labels ?? capture.labels, picked.header);
  if (absent.length > 0) return refused(absent);
  const columns = names.map((name) => [name, capture.labels.indexOf(name)] as const);
  const rows = Array.from({ length: capture.frames }, (_, row): Markers => {
    return new Map(
      columns.map(([name, column]) => {
        const at = 3 * (row * capture.labels.length + column);
        const [x, y, z] = capture.coordinates.subarray(at, at + 3) as unknown as Vector;
        return [name, [x, y, side === 'left' ? -z : z]];
      }),
    );
  });
  const table: PointTable = { definition: known, side, namesOf: named, names, rows, unit: null };
  const backwards = backwardsElbow(table);
  if (backwards !== null) return refused([backwards]);
  return { ok: true, value: { ...table, unit: unitOf(table, input.unit, capture.unit) } };
}

/** The points of a row by role. */
export function armOf(table: PointTable, markers: Markers): ArmPoints {
  const entries = Object.entries(table.namesOf).map(([role, names]) => {
    const [first, ...others] = names.map((name) => markers.get(name)!);
    return [role, others.length === 0 ? first! : scale(others.reduce(add, first!), 1 / names.length)];
  });
  return Object.fromEntries(entries);
}

/**
 * The table with only the columns of the points asked for and a count of the rows, so that rows stay where they are.
 * Where none of the points has columns of its own the table may be a long one, and is left as it is.
 */
function pickColumns(
  csvBytes: Uint8Array,
  asked: ReadonlySet<string>,
): {
  readonly bytes: Uint8Array;
  readonly labels: readonly string[] | null;
  readonly header: readonly string[];
} {
  const text = new TextDecoder().decode(csvBytes).replace(/^\uFEFF/, '');
  const { data, meta } = Papa.parse<string[]>(text, { skipEmptyLines: 'greedy' });
  const header = (data[0] ?? []).map((column) => column.trim());
  const markers = header.map(markerOfColumn);
  const wanted = header.flatMap((_, k) => (asked.has(markers[k] ?? '') ? [k] : []));
  if (wanted.length === 0) return { bytes: csvBytes, labels: null, header };
  const kept = data.map((row, i) => [i === 0 ? 'frame' : String(i), ...wanted.map((k) => row[k] ?? '')]);
  const bytes = new TextEncoder().encode(Papa.unparse(kept, { delimiter: meta.delimiter }));
  return { bytes, labels: [...new Set(markers.filter((name) => name !== null))], header };
}

function unitOf(table: PointTable, given: LengthUnit | undefined, stated: string | null): PointTable['unit'] {
  if (given !== undefined) return { unit: given, from: 'given' };
  if (stated !== null && Object.hasOwn(METRES_PER_UNIT, stated))
    return { unit: stated as LengthUnit, from: 'columns' };
  const unit = inferUnit(table);
  return unit === null ? null : { unit, from: 'lengths' };
}

function unknownDefinition(definition: string): CaptureProblem {
  return {
    where: 'definition',
    found: definition,
    expected: `one of ${Object.keys(ANGLE_ROLES).join(', ')}`,
    remedy: 'Name one of the definitions.',
  };
}

function refused(problems: readonly CaptureProblem[]): CaptureResult<PointTable> {
  return { ok: false, problems };
}
