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
}

export interface TrailElbow {
  readonly fault: null;
  /** 0 is straight. */
  readonly flexion_rad: number;
  /** What one radian of turn of trunk, lead arm and club each adds to the flexion. */
  readonly slopes: readonly [number, number, number];
  /** From the trail shoulder to the trail hand. */
  readonly distance_m: number;
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
 *     D^2 = |trail hand - trail shoulder|^2 = u^2 + f^2 + 2 u f cos(flexion)          (law of cosines)
 *
 * so flexion falls as D grows: as the lead arm leaves the chest the trail elbow must open. Its slope is
 * -(D dD) / (u f sin(flexion)), without bound where the arm is straight; there the slopes are infinite or not numbers.
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
  const x =
    girdle_m * Math.sin(trunk) + leadArm_m * Math.sin(lead) + gap * Math.sin(club) - r * Math.sin(behind);
  const y =
    -girdle_m * Math.cos(trunk) - leadArm_m * Math.cos(lead) - gap * Math.cos(club) + r * Math.cos(behind);
  const square = x * x + y * y + arm.shoulderOffset_m ** 2;
  const distance_m = Math.sqrt(square);
  if (distance_m > u + f) return { fault: 'trail-hand-out-of-reach', distance_m, limit_m: u + f };
  if (distance_m < Math.abs(u - f))
    return { fault: 'trail-hand-too-near', distance_m, limit_m: Math.abs(u - f) };
  const cosine = Math.min(1, Math.max(-1, (square - u * u - f * f) / (2 * u * f)));
  const flexion_rad = Math.acos(cosine);
  const slope = -1 / (u * f * Math.sin(flexion_rad));
  const along = (length: number, angle: number): number =>
    x * length * Math.cos(angle) + y * length * Math.sin(angle);
  return {
    fault: null,
    flexion_rad,
    slopes: [
      slope * (along(girdle_m, trunk) - along(r, behind)),
      slope * along(leadArm_m, lead),
      slope * along(gap, club),
    ],
    distance_m,
  };
}
