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
