import { angleBetween } from './angles.ts';
import { fromAxes, type Matrix, segmentFrame } from './frames.ts';
import { cross, midpoint, subtract, unit, type Vector } from './vector.ts';

/**
 * Segment frames by the recommendations of the International Society of Biomechanics. Columns of every matrix are
 * the axes in the lab: x forward, y up the segment, z to the person's right. All are for the right side of a person; mirror
 * the points of a left arm first.
 *
 * @see Wu G, Siegler S, Allard P, et al. (2002) J Biomech 35:543-548 (pelvis)
 * @see Wu G, van der Helm FCT, Veeger HEJ, et al. (2005) J Biomech 38:981-992 (thorax 2.3.1, humerus 2.3.4 and 2.3.5,
 *   forearm 2.3.6)
 */

export interface ThoraxPoints {
  /** Spinous processes of the seventh cervical and the eighth thoracic vertebra. */
  readonly c7: Vector;
  readonly t8: Vector;
  /** Deepest point of the notch above the breastbone, and the lower end of the breastbone. */
  readonly ij: Vector;
  readonly px: Vector;
}

/**
 * Thorax: y from the middle of PX and T8 to the middle of IJ and C7; z square to the plane of IJ, C7 and the middle
 * of PX and T8, to the right; x = y x z. Its origin is IJ.
 *
 * @example thoraxFrame({ c7: [-1, 5, 0], ij: [1, 4, 0], t8: [-1, 1, 0], px: [1, 1, 0] }).map((row) => row[2]) // [0, 0, 1]: z
 */
export function thoraxFrame({ c7, t8, ij, px }: ThoraxPoints): Matrix {
  const low = midpoint(px, t8);
  const y = unit(subtract(midpoint(ij, c7), low));
  const z = unit(cross(subtract(low, c7), subtract(ij, c7)));
  return fromAxes(cross(y, z), y, z);
}

/** The four landmarks of the ISB pelvis, in any one unit of length. */
export interface PelvisPoints {
  /** Anterior and posterior superior iliac spines. */
  readonly rightAsis: Vector;
  readonly leftAsis: Vector;
  readonly rightPsis: Vector;
  readonly leftPsis: Vector;
}

/**
 * Pelvis: z along the line from the left to the right ASIS; x in the plane of both ASIS and the middle of the PSIS, square
 * to z, forward; y = z x x.
 *
 * @example
 * pelvisFrame({ rightAsis: [1, 0, 1], leftAsis: [1, 0, -1], rightPsis: [0, 0, 0.4], leftPsis: [0, 0, -0.4] })
 * // [[1, 0, 0], [0, 1, 0], [0, 0, 1]]
 */
export function pelvisFrame({ rightAsis, leftAsis, rightPsis, leftPsis }: PelvisPoints): Matrix {
  const z = unit(subtract(rightAsis, leftAsis));
  const forward = subtract(midpoint(rightAsis, leftAsis), midpoint(rightPsis, leftPsis));
  const y = unit(cross(z, forward));
  return fromAxes(cross(y, z), y, z);
}

/**
 * Humerus, first option: y from the middle of the epicondyles to the centre of the shoulder, x square to the plane of
 * the three, forward.
 *
 * @example humerusFrame([0, 0.3, 0], [0, 0, 0.04], [0, 0, -0.04]) // [[1, 0, 0], [0, 1, 0], [0, 0, 1]]: an arm that hangs down
 */
export function humerusFrame(shoulder: Vector, lateralEpicondyle: Vector, medialEpicondyle: Vector): Matrix {
  return segmentFrame(
    subtract(shoulder, midpoint(lateralEpicondyle, medialEpicondyle)),
    subtract(lateralEpicondyle, medialEpicondyle),
  );
}

/**
 * Forearm: y from the ulnar styloid to the middle of the epicondyles, x square to the plane through the styloids, forward.
 *
 * @example forearmFrame([0, 0.25, 0], [0, 0, 0.05], [0, 0, 0]) // [[1, 0, 0], [0, 1, 0], [0, 0, 1]]: it hangs, the palm forward
 */
export function forearmFrame(elbow: Vector, radialStyloid: Vector, ulnarStyloid: Vector): Matrix {
  return segmentFrame(subtract(elbow, ulnarStyloid), subtract(radialStyloid, ulnarStyloid));
}

/** A joint nearer to straight than this has axes that noise turns about freely, deg. */
export const NEARLY_STRAIGHT_DEG = 20;

/**
 * Humerus, second option, for epicondyles that are hard to find: y as in the first, z square to the plane of upper arm
 * and forearm, x = y x z. The recommendation asks for an elbow bent 90 degrees and a pronated forearm.
 *
 * @returns `nearlyStraight` within 20 degrees of a straight arm, where the two lines hardly span a plane; its axes are
 *   NaN at exactly straight
 * @example
 * // The upper arm hangs down, the forearm points forward
 * humerusFrameFromForearm([0, 0.3, 0], [0, 0, 0], [0.25, 0, 0])
 * // { axes: [[1, 0, 0], [0, 1, 0], [0, 0, 1]], nearlyStraight: false }
 */
export function humerusFrameFromForearm(
  shoulder: Vector,
  elbow: Vector,
  ulnarStyloid: Vector,
): { readonly axes: Matrix; readonly nearlyStraight: boolean } {
  const y = unit(subtract(shoulder, elbow));
  const normal = cross(y, unit(subtract(elbow, ulnarStyloid)));
  const z = unit(normal);
  return {
    axes: fromAxes(cross(y, z), y, z),
    nearlyStraight: angleBetween(y, subtract(elbow, ulnarStyloid)) < NEARLY_STRAIGHT_DEG,
  };
}
