/**
 * The girdle and the trail arm, which close a loop through the grip. All lengths in m, angles in rad.
 */
export interface TrailArm {
  /** From the hub (the point of the trunk about which the girdle turns) to the trail shoulder, along the plane. */
  readonly shoulderRadius_m: number;
  /** Angle in the plane, at the hub, from the lead shoulder back to the trail shoulder: under half a turn, since shoulders sit in front of the spine. */
  readonly shoulderAngle_rad: number;
  /** How far the trail shoulder lies out of the plane of the lead arm and club. */
  readonly shoulderOffset_m: number;
  readonly upperArm_m: number;
  /** From the elbow to where the trail hand holds the grip. */
  readonly elbowToGrip_m: number;
  /** How far down the shaft from the lead hand the trail hand sits. */
  readonly handGap_m: number;
  /** How the shoulder blade follows the hand; a shoulder that stays where the girdle has it unless given. */
  readonly give?: ShoulderGive;
}

/**
 * How far the trail shoulder slides on the rib cage toward the hand. Of the distance D from the shoulder at rest to the
 * hand the arm spans e, and the shoulder blade gives D - e:
 *
 *     h = u + f - (rest + (1 - share)(D - rest)),   u + f - e = (h + sqrt(h^2 + softness^2)) / 2
 *
 * a share of every change, and more and more of it as the arm comes near to straight, so that neither the elbow's
 * speed nor the loop breaks there. Design assumption: that a shoulder blade yields is anatomy, this form of it is ours.
 */
export interface ShoulderGive {
  /** 0 to below 1. */
  readonly share: number;
  /** Distance at which the shoulder blade lies where it rests, the softness apart. */
  readonly rest_m: number;
  /** Twice what the shoulder blade gives where the arm alone would just be straight. */
  readonly softness_m: number;
  /** What it can give. */
  readonly most_m: number;
}

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

/** What the arm spans when the trail hand is so far from the trail shoulder at rest. */
export function armSpan(arm: TrailArm, distance_m: number): number {
  if (arm.give === undefined) return distance_m;
  const slack = slackAt(arm, arm.give, distance_m);
  return arm.upperArm_m + arm.elbowToGrip_m - (slack + Math.hypot(slack, arm.give.softness_m)) / 2;
}

/** The distance from the trail shoulder at rest to the trail hand at which the arm spans so much: armSpan backward. */
export function handAtSpan(arm: TrailArm, span_m: number): number {
  if (arm.give === undefined) return span_m;
  const { share, rest_m, softness_m } = arm.give;
  const reach = arm.upperArm_m + arm.elbowToGrip_m;
  const left = reach - span_m;
  const slack = left - softness_m ** 2 / (4 * left);
  return rest_m + (reach - slack - rest_m) / (1 - share);
}

/** The farthest the trail hand can be from the trail shoulder at rest, by halving where the shoulder blade gives way. */
export function farthestHand(arm: TrailArm): number {
  const reach = arm.upperArm_m + arm.elbowToGrip_m;
  if (arm.give === undefined) return reach;
  let [low, high] = [0, reach + arm.give.most_m];
  for (let round = 0; round < 60; round++) {
    const middle = (low + high) / 2;
    if (middle - armSpan(arm, middle) > arm.give.most_m) high = middle;
    else low = middle;
  }
  return low;
}

function spanSlope(arm: TrailArm, distance_m: number): number {
  if (arm.give === undefined) return 1;
  const slack = slackAt(arm, arm.give, distance_m);
  return ((1 - arm.give.share) * (1 + slack / Math.hypot(slack, arm.give.softness_m))) / 2;
}

function slackAt(arm: TrailArm, give: ShoulderGive, distance_m: number): number {
  return arm.upperArm_m + arm.elbowToGrip_m - give.rest_m - (1 - give.share) * (distance_m - give.rest_m);
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
