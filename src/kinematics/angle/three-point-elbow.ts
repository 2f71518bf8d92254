import { angleBetween } from '../geometry/angles.ts';
import { cross, dot, norm, subtract, type Vector } from '../geometry/vector.ts';

/** Shoulder, elbow and wrist, in any one unit of length. */
export interface ThreePoints {
  readonly shoulder: Vector;
  readonly elbow: Vector;
  readonly wrist: Vector;
}

/** The three-point elbow with everything on the way to it. */
export interface ThreePointElbow {
  /** From the shoulder to the elbow, and from the elbow to the wrist. */
  readonly upperArm: Vector;
  readonly forearm: Vector;
  /** |upperArm x forearm| and upperArm . forearm: the flexion is the angle whose tangent is their ratio. */
  readonly across: number;
  readonly along: number;
  readonly flexion_deg: number;
}

/**
 * Elbow flexion from three points: 180 minus the included angle shoulder-elbow-wrist, which is the angle between the
 * directions u = elbow - shoulder and v = wrist - elbow, atan2(|u x v|, u . v). Degrees, 0 = straight; never negative,
 * so that it cannot tell a bent elbow from an overextended one. NaN where two points that follow each other are one.
 *
 * @example threePointElbow({ shoulder: [0, 1, 0], elbow: [0, 0, 0], wrist: [1, 0, 0] }).flexion_deg // 90
 */
export function threePointElbow({ shoulder, elbow, wrist }: ThreePoints): ThreePointElbow {
  const upperArm = subtract(elbow, shoulder);
  const forearm = subtract(wrist, elbow);
  const fixed = norm(upperArm) > 0 && norm(forearm) > 0;
  return {
    upperArm,
    forearm,
    across: norm(cross(upperArm, forearm)),
    along: dot(upperArm, forearm),
    flexion_deg: fixed ? angleBetween(upperArm, forearm) : Number.NaN,
  };
}
