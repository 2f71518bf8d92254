import { axisOf, type CardanSequence, type Matrix, SINGULAR_WITHIN_DEG } from './frames.ts';
import { cross, dot, norm, scale, type Vector } from './vector.ts';

/** A joint's own axes, in the lab, and the turns about them. */
export interface JointCoordinateSystem {
  /** Fixed in the proximal segment. */
  readonly proximalAxis: Vector;
  /** Square to both others, fixed in neither segment. */
  readonly floatingAxis: Vector;
  /** Fixed in the distal segment. */
  readonly distalAxis: Vector;
  /** About the proximal, the floating and the distal axis, degrees. */
  readonly angles: Vector;
  /** Proximal and distal axis are within 10 degrees of being parallel: the turns about them are not told apart. */
  readonly singular: boolean;
}

const DEG = 180 / Math.PI;

/**
 * Joint angles by the joint coordinate system: the first turn about an axis of the proximal segment, the last about an
 * axis of the distal one, the middle about their common perpendicular. Read from the axes alone, without a
 * matrix; equal to the Cardan angles of the same sequence.
 *
 * @param sequence names the three axes: for the ISB elbow 'ZXY', flexion about z of the humerus, pronation about y of the
 *   forearm, carrying angle about the floating axis
 * @see Grood ES, Suntay WJ (1983) J Biomech Eng 105:136-144
 * @example
 * // The forearm bent by a right angle about the common z
 * const [humerus, forearm] = [[[1, 0, 0], [0, 1, 0], [0, 0, 1]], [[0, -1, 0], [1, 0, 0], [0, 0, 1]]];
 * jointCoordinateSystem(humerus, forearm, 'ZXY').angles // [90, 0, 0]: flexion, carrying angle, pronation
 */
export function jointCoordinateSystem(
  proximal: Matrix,
  distal: Matrix,
  sequence: CardanSequence,
): JointCoordinateSystem {
  const [i, j, k] = [...sequence].map((axis) => 'XYZ'.indexOf(axis)) as [0 | 1 | 2, 0 | 1 | 2, 0 | 1 | 2];
  const s = (j - i + 3) % 3 === 1 ? 1 : -1;
  const [e1, e3] = [axisOf(proximal, i), axisOf(distal, k)];
  const across = cross(e3, e1);
  const e2 = scale(across, s / norm(across));
  const turn = (axis: Vector, from: Vector, to: Vector): number =>
    Math.atan2(dot(axis, cross(from, to)), dot(from, to)) * DEG;
  const middle = Math.atan2(s * dot(e1, e3), norm(across)) * DEG;
  return {
    proximalAxis: e1,
    floatingAxis: e2,
    distalAxis: e3,
    angles: [turn(e1, axisOf(proximal, j), e2), middle, turn(e3, e2, axisOf(distal, j))],
    singular: 90 - Math.abs(middle) < SINGULAR_WITHIN_DEG,
  };
}
