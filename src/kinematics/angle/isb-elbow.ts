import { cardanAngles, type Matrix, relativeTurn } from '../geometry/frames.ts';
import { forearmFrame, humerusFrame, NEARLY_STRAIGHT_DEG } from '../geometry/isb-frames.ts';
import { midpoint, type Vector } from '../geometry/vector.ts';

/** The points of an arm that the ISB elbow is built from, in any one unit of length and right-handed axes. */
export interface IsbElbowPoints {
  /** Centre of the shoulder (or the acromion, standing for it). */
  readonly shoulder: Vector;
  readonly lateral_epicondyle: Vector;
  readonly medial_epicondyle: Vector;
  readonly radial_styloid: Vector;
  readonly ulnar_styloid: Vector;
}

/** The ISB elbow with everything on the way to it. */
export interface IsbElbow {
  /** Midpoint of the epicondyles. */
  readonly elbow: Vector;
  /** Columns are the axes x, y, z of the segment in the lab. */
  readonly humerus: Matrix;
  readonly forearm: Matrix;
  /** Humerus transposed times forearm. */
  readonly relative: Matrix;
  readonly flexion_deg: number;
  readonly carrying_deg: number;
  readonly pronation_deg: number;
  /** The middle angle is near 90 deg, so flexion and pronation are not told apart. */
  readonly singular: boolean;
  /** Flexion within 20 deg of straight, where the axes of the elbow are unsteady. */
  readonly nearlyStraight: boolean;
}

/**
 * Elbow angles by the recommendation of the International Society of Biomechanics, from five points of a right arm.
 *
 * Humerus: y from the midpoint E of the epicondyles to the shoulder; x = y x (lateral - medial); z = x x y.
 * Forearm: y from the ulnar styloid to E; x = y x (radial - ulnar styloid); z = x x y.
 * Turn of the forearm in the humerus as Z-X-Y Cardan angles: flexion (+), carrying angle, pronation (+).
 *
 * For a left arm mirror every point first (change the sign of one coordinate). Points that fall together or lie on one line
 * give NaN.
 *
 * @see Wu G, van der Helm FCT, Veeger HEJ, et al. (2005) J Biomech 38:981-992, sections 2.3.4, 2.3.6 and 2.4.7
 * @example
 * // x forward, y up, z to the right: the upper arm hangs down, the forearm points forward, the thumb to the right
 * const { flexion_deg, carrying_deg, pronation_deg } = isbElbow({
 *   shoulder: [0, 0.3, 0], lateral_epicondyle: [0, 0, 0.04], medial_epicondyle: [0, 0, -0.04],
 *   radial_styloid: [0.25, 0, 0.05], ulnar_styloid: [0.25, 0, 0],
 * });
 * [flexion_deg, carrying_deg, pronation_deg] // [90, 0, 0]
 */
export function isbElbow(points: IsbElbowPoints): IsbElbow {
  const { shoulder, lateral_epicondyle: el, medial_epicondyle: em } = points;
  const elbow = midpoint(el, em);
  const humerus = humerusFrame(shoulder, el, em);
  const forearm = forearmFrame(elbow, points.radial_styloid, points.ulnar_styloid);
  const relative = relativeTurn(humerus, forearm);
  const { angles, singular } = cardanAngles(relative, 'ZXY');
  return {
    elbow,
    humerus,
    forearm,
    relative,
    flexion_deg: angles[0],
    carrying_deg: angles[1],
    pronation_deg: angles[2],
    singular,
    nearlyStraight: Math.abs(angles[0]) < NEARLY_STRAIGHT_DEG,
  };
}
