import { symmetricEigen } from '../../numerics/index.ts';
import { cross, dot, norm, scale, subtract, unit, type Vector } from './vector.ts';

const DEG = 180 / Math.PI;
const UP: Vector = [0, 1, 0];

/** A plane fitted to points that go round in it. */
export interface FittedPlane {
  /** Length one; its sense is that of the turning, by the rule of the right hand. */
  readonly normal: Vector;
  readonly centre: Vector;
  /** Two directions of length one in the plane: along which the points spread most, and square to it. */
  readonly spread: readonly [Vector, Vector];
  /** Weighted mean squares of the distances along `spread` and along the normal, in the square of the unit. */
  readonly meanSquares: readonly [number, number, number];
  /** Root of the weighted mean square distance of the points from the plane, in their unit. */
  readonly rms: number;
}

/**
 * The plane nearest to points by total least squares: least weighted sum of squared distances from it. Its normal is the
 * direction of least spread, the eigenvector of the smallest eigenvalue of the points' covariance.
 *
 * @param weights one for each point, none negative
 * @returns null where fewer than three points have weight, or they lie on a line
 * @see Pearson K (1901) Phil Mag 2:559-572
 * @example
 * // Round an ellipse with half axes 2 and 1, from x to y: the right hand turns so about z
 * fitPlane([[2, 0, 0], [0, 1, 0], [-2, 0, 0], [0, -1, 0]], [1, 1, 1, 1])
 * // { normal: [0, 0, 1], centre: [0, 0, 0], meanSquares: [2, 0.5, 0], rms: 0, ... }
 */
export function fitPlane(points: readonly Vector[], weights: readonly number[]): FittedPlane | null {
  let whole = 0;
  const centre: [number, number, number] = [0, 0, 0];
  points.forEach((p, i) => {
    whole += weights[i]!;
    for (let a = 0; a < 3; a++) centre[a] = centre[a]! + weights[i]! * p[a]!;
  });
  if (!(whole > 0) || weights.filter((w) => w > 0).length < 3) return null;
  for (let a = 0; a < 3; a++) centre[a] = centre[a]! / whole;
  const covariance = new Float64Array(9);
  points.forEach((p, i) => {
    const r = subtract(p, centre);
    for (let a = 0; a < 3; a++)
      for (let b = 0; b < 3; b++)
        covariance[3 * a + b] = covariance[3 * a + b]! + (weights[i]! * r[a]! * r[b]!) / whole;
  });
  const { values, vectors } = symmetricEigen(covariance, 3);
  const axis = (k: number): Vector => [vectors[k]!, vectors[3 + k]!, vectors[6 + k]!];
  const [least, middle, most] = [values[0]!, values[1]!, values[2]!];
  if (!(middle > 1e-12 * most)) return null;
  const sense = sweep(points, centre, axis(0)) < 0 ? -1 : 1;
  return {
    normal: scale(axis(0), sense),
    centre,
    spread: [axis(2), axis(1)],
    meanSquares: [most, middle, Math.max(0, least)],
    rms: Math.sqrt(Math.max(0, least)),
  };
}

/** Twice the area that the line from the centre to the points sweeps, seen from the tip of `normal`. */
function sweep(points: readonly Vector[], centre: Vector, normal: Vector): number {
  let area = 0;
  for (let i = 1; i < points.length; i++)
    area += dot(normal, cross(subtract(points[i - 1]!, centre), subtract(points[i]!, centre)));
  return area;
}

/**
 * Angle of a plane from the ground, degrees: 0 = flat, 90 = vertical.
 *
 * @example planeInclination([0, 1, Math.sqrt(3)]) // 60
 */
export function planeInclination(normal: Vector): number {
  return Math.atan2(Math.hypot(normal[0], normal[2]), Math.abs(normal[1])) * DEG;
}

/** The level direction in a plane in which points that turn by the right hand about `normal` travel at their lowest. */
export function planeForward(normal: Vector): Vector {
  return unit(cross(UP, normal));
}

/**
 * Direction of a plane along the ground from the target line, degrees: + = to the far side of the ball (in-to-out).
 *
 * @example planeDirection([0, 0.5, 0.866025]) // 0
 */
export function planeDirection(normal: Vector): number {
  return headingOf(planeForward(normal));
}

/**
 * Direction of a velocity along the ground from the target line, degrees: + = away from the golfer (in-to-out).
 *
 * @example headingOf([40, -2, 1.4]) // 2.0045
 */
export function headingOf(velocity: Vector): number {
  return Math.atan2(velocity[2], velocity[0]) * DEG;
}

/** A direction without its part along the normal: its shadow on the plane. */
export function shadow(direction: Vector, normal: Vector): Vector {
  return subtract(direction, scale(normal, dot(direction, normal)));
}

/**
 * Lag angle in a plane: the turn, in the sense of the swing, from the shadow of the shaft to the shadow of the lead forearm,
 * degrees, -180 to 180. 0 = in line, positive = the shaft is behind the forearm.
 *
 * @example lagInPlane([0, 1, 0], [0, 0.7, 0], [0, 0.7, 0], [-0.9, 0.7, 0], [0, 0, 1]) // 90
 */
export function lagInPlane(elbow: Vector, wrist: Vector, grip: Vector, head: Vector, normal: Vector): number {
  const forearm = shadow(subtract(wrist, elbow), normal);
  const shaft = shadow(subtract(head, grip), normal);
  return Math.atan2(dot(cross(shaft, forearm), normal), dot(shaft, forearm)) * DEG;
}

/**
 * Shaft lean in a plane: from the steepest line of the plane to the shadow of the shaft (head to grip), degrees. Positive =
 * grip ahead of the head in the direction of the swing. For a shaft in a plane that runs along the target line,
 * `leanInTargetPlane` turns it into the lean seen from the ball.
 *
 * @example leanInPlane([0.1, 0.8, 0], [0, 0, 0], [0, 0, 1]) // 7.125016348901798
 */
export function leanInPlane(grip: Vector, head: Vector, normal: Vector): number {
  const shaft = subtract(grip, head);
  const forward = planeForward(normal);
  return Math.atan2(dot(shaft, forward), dot(shaft, cross(normal, forward))) * DEG;
}

/**
 * A point as a camera straight in front of the golfer, square to the target line, sees it: without its distance from it.
 *
 * @example faceOn([0.1, 0.8, 0.5]) // [0.1, 0.8, 0]
 */
export function faceOn([x, y]: Vector): Vector {
  return [x, y, 0];
}

/** A normal tilted a little along two directions of the plane, radians. */
export function tilted(
  normal: Vector,
  [a, b]: readonly [Vector, Vector],
  by: readonly [number, number],
): Vector {
  const moved: Vector = [
    normal[0] + by[0] * a[0] + by[1] * b[0],
    normal[1] + by[0] * a[1] + by[1] * b[1],
    normal[2] + by[0] * a[2] + by[1] * b[2],
  ];
  return scale(moved, 1 / norm(moved));
}
