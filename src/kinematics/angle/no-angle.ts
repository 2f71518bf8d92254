import { cross, norm, subtract, type Vector } from '../geometry/vector.ts';
import type { CaptureResult } from '../problem.ts';
import type { ArmPoints } from './definition.ts';
import { armOf, type Markers, type PointTable } from './point-table.ts';

/** Sine of the angle below which two directions are one line: what rounding leaves of points on a line. */
const ONE_LINE = 1e-9;

/** The markers of a row that were not seen. */
export function notSeen(table: PointTable, markers: Markers): string[] {
  return table.names.filter((name) => Number.isNaN(markers.get(name)![0]));
}

/** Why a row has no angle, in words, or null where it has one. */
export function whyNoAngle(table: PointTable, markers: Markers): string | null {
  const missing = notSeen(table, markers);
  if (missing.length > 0) return `${missing.join(', ')} ${missing.length === 1 ? 'was' : 'were'} not seen`;
  const points = armOf(table, markers);
  return table.definition === 'isb-elbow' ? whyNoFrames(points) : whyNoLine(points);
}

/** The markers of a row (counted from 1), or why it gives no angle. */
export function rowWithAngle(table: PointTable, row: number): CaptureResult<Markers> {
  const markers = table.rows[row - 1];
  if (!Number.isInteger(row) || markers === undefined)
    return noSuch(
      'row',
      `${row}`,
      `a row from 1 to ${table.rows.length}`,
      'Rows are counted from 1 below the header.',
    );
  const reason = whyNoAngle(table, markers);
  if (reason === null) return { ok: true, value: markers };
  return noSuch(`row ${row}`, reason, 'a row that gives an angle', 'Give another row.');
}

function noSuch<T>(where: string, found: string, expected: string, remedy: string): CaptureResult<T> {
  return { ok: false, problems: [{ where, found, expected, remedy }] };
}

function whyNoLine({ shoulder, elbow, wrist }: ArmPoints): string | null {
  if (norm(subtract(elbow!, shoulder!)) === 0) return 'shoulder and elbow are one point';
  if (norm(subtract(wrist!, elbow!)) === 0) return 'elbow and wrist are one point';
  return null;
}

function whyNoFrames(points: ArmPoints): string | null {
  const [l, m] = [points.lateral_epicondyle!, points.medial_epicondyle!];
  const centre: Vector = [(l[0] + m[0]) / 2, (l[1] + m[1]) / 2, (l[2] + m[2]) / 2];
  if (onOneLine(points.shoulder!, centre, l, m))
    return 'shoulder and epicondyles lie on one line, which leaves the axes of the humerus open';
  if (onOneLine(centre, points.ulnar_styloid!, points.radial_styloid!, points.ulnar_styloid!))
    return 'elbow centre and styloids lie on one line, which leaves the axes of the forearm open';
  return null;
}

/** Whether the lines a-b and c-d have one direction, or one of them has none. */
function onOneLine(a: Vector, b: Vector, c: Vector, d: Vector): boolean {
  const [u, v] = [subtract(a, b), subtract(c, d)];
  return norm(cross(u, v)) <= ONE_LINE * norm(u) * norm(v);
}
