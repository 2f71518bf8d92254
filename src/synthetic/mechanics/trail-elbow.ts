import { armSpan, farthestHand, handAtSpan, spanSlope } from './shoulder-give.ts';
import type { TrailArm } from './trail-arm.ts';

/** How far the trail elbow is bent where both hands hold one club. */
export interface TrailElbow {
  readonly fault: null;
  /** 0 is straight. */
  readonly flexion_rad: number;
  /** What one radian of turn of trunk, lead arm and club each adds to the flexion. */
  readonly slopes: readonly [number, number, number];
  /** From the trail shoulder at rest to the trail hand. */
  readonly distance_m: number;
  /** How far the trail shoulder has moved from rest along the line to the trail hand; negative = back. */
  readonly give_m: number;
}

/** The arm cannot close the loop. */
export interface TrailElbowFault {
  readonly fault: 'trail-hand-out-of-reach' | 'trail-hand-too-near';
  readonly distance_m: number;
  /** The distance nearest to it that the arm can span. */
  readonly limit_m: number;
}

/**
 * The trail elbow's flexion that the rest of the body forces on it. Hub at the origin, angles psi from the downward line of the plane,
 * positive toward the target, x toward the target and y up the plane:
 *
 *     lead shoulder   a (sin psi_t, -cos psi_t)                        a = girdle, psi_t = trunk
 *     trail shoulder  r (sin(psi_t - sigma), -cos(psi_t - sigma)), h   out of the plane by h
 *     trail hand      lead shoulder + R (sin psi_a, -cos psi_a) + k (sin psi_c, -cos psi_c)
 *     D = |trail hand - trail shoulder|, e what the arm spans of it (ShoulderGive)
 *     e^2 = u^2 + f^2 + 2 u f cos(flexion)                             (law of cosines)
 *
 * so flexion falls as D grows: as the lead arm leaves the chest the trail elbow must open. Its slope is
 * -(e de) / (u f sin(flexion)), without bound where the arm is straight; there the slopes are infinite or not numbers.
 *
 * @param girdle_m hub to lead shoulder
 * @param leadArm_m lead shoulder to lead hand
 * @param angles trunk, lead arm, club (rad)
 * @returns the flexion with its slopes, or what keeps the loop from closing
 * @example
 * // Shoulders on a level line 0.4 apart, hands 0.3 below the lead shoulder, upper arm 0.3, elbow to grip 0.4: 3, 4 and 5
 * const arm = { shoulderRadius_m: 0.2, shoulderAngle_rad: Math.PI, shoulderOffset_m: 0, upperArm_m: 0.3, elbowToGrip_m: 0.4, handGap_m: 0 };
 * trailElbow(0.2, 0.3, arm, [Math.PI / 2, 0, 0]) // { fault: null, flexion_rad: 1.5708, ... }: a right angle
 */
export function trailElbow(
  girdle_m: number,
  leadArm_m: number,
  arm: TrailArm,
  angles: readonly [number, number, number],
): TrailElbow | TrailElbowFault {
  const { upperArm_m: u, elbowToGrip_m: f, handGap_m: gap, shoulderRadius_m: r } = arm;
  const [trunk, lead, club] = angles;
  const behind = trunk - arm.shoulderAngle_rad;
  const x = across(girdle_m, leadArm_m, arm, trunk, lead, club);
  const y = up(girdle_m, leadArm_m, arm, trunk, lead, club);
  const distance_m = Math.sqrt(x * x + y * y + arm.shoulderOffset_m ** 2);
  const span = armSpan(arm, distance_m);
  const give_m = distance_m - span;
  if (span > u + f || (arm.give !== undefined && give_m > arm.give.most_m))
    return { fault: 'trail-hand-out-of-reach', distance_m, limit_m: farthestHand(arm) };
  if (span < Math.abs(u - f))
    return { fault: 'trail-hand-too-near', distance_m, limit_m: handAtSpan(arm, Math.abs(u - f)) };
  const cosine = Math.min(1, Math.max(-1, (span * span - u * u - f * f) / (2 * u * f)));
  const flexion_rad = Math.acos(cosine);
  const slope = -(span / distance_m) * (spanSlope(arm, distance_m) / (u * f * Math.sin(flexion_rad)));
  const ofTrunk =
    girdle_m * (x * Math.cos(trunk) + y * Math.sin(trunk)) -
    r * (x * Math.cos(behind) + y * Math.sin(behind));
  return {
    fault: null,
    flexion_rad,
    slopes: [
      slope * ofTrunk,
      slope * leadArm_m * (x * Math.cos(lead) + y * Math.sin(lead)),
      slope * gap * (x * Math.cos(club) + y * Math.sin(club)),
    ],
    distance_m,
    give_m,
  };
}

/** From the trail shoulder at rest to the trail hand (m), at angles of trunk, lead arm and club (rad). */
export function trailHandDistance(
  girdle_m: number,
  leadArm_m: number,
  arm: TrailArm,
  trunk: number,
  lead: number,
  club: number,
): number {
  const x = across(girdle_m, leadArm_m, arm, trunk, lead, club);
  const y = up(girdle_m, leadArm_m, arm, trunk, lead, club);
  return Math.sqrt(x * x + y * y + arm.shoulderOffset_m ** 2);
}

function across(
  girdle: number,
  leadArm: number,
  arm: TrailArm,
  trunk: number,
  lead: number,
  club: number,
): number {
  return (
    girdle * Math.sin(trunk) +
    leadArm * Math.sin(lead) +
    arm.handGap_m * Math.sin(club) -
    arm.shoulderRadius_m * Math.sin(trunk - arm.shoulderAngle_rad)
  );
}

function up(
  girdle: number,
  leadArm: number,
  arm: TrailArm,
  trunk: number,
  lead: number,
  club: number,
): number {
  return (
    arm.shoulderRadius_m * Math.cos(trunk - arm.shoulderAngle_rad) -
    girdle * Math.cos(trunk) -
    leadArm * Math.cos(lead) -
    arm.handGap_m * Math.cos(club)
  );
}
