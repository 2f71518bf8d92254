import type { JointLimit, Segment } from './chain.ts';
import type { TrailArm } from './trail-arm.ts';

/** A golfer as the model sees one: girdle, lead arm and club as a driven chain, the trail arm closing the loop. */
export interface SwingBody {
  /** Length is hub to lead shoulder. */
  readonly trunk: Segment;
  /** Length is lead shoulder to lead hand. */
  readonly leadArm: Segment;
  /** Length is lead hand to club head. */
  readonly club: Segment;
  readonly trailArm: TrailArm;
  /** The plane of the swing above the ground. */
  readonly planeInclination_deg: number;
  /** Of the ball ahead of the hub, toward the target, along the line where the plane meets the ground. */
  readonly ballAhead_m: number;
  /** Angles where the mechanics begin, at rest, from the downward line of the plane; negative away from the target. */
  readonly topTrunk_deg: number;
  readonly topLeadArm_deg: number;
  /** Lag there: angle between the lead arm and the shaft, 0 in line. */
  readonly topLag_deg: number;
  /** Ends of range: the lead arm against the chest, and the cock of the wrist. */
  readonly limits: readonly JointLimit[];
  /** Flexion at which the trail elbow counts as straight. */
  readonly straightElbow_deg: number;
}

const RAD = Math.PI / 180;
const GRAVITY_M_S2 = 9.80665;

/** What keeps a body, or its timings, from being one. */
export interface BodyProblem {
  /** The path of the value at fault. */
  readonly where: string;
  readonly found: string;
  readonly expected: string;
  readonly remedy: string;
}

/** Gravity along the plane of the swing. */
export function gravityInPlane(body: SwingBody): number {
  return GRAVITY_M_S2 * Math.sin(body.planeInclination_deg * RAD);
}

/** Angles of trunk, lead arm and club at the top, in rad. */
export function topAngles(body: SwingBody): [number, number, number] {
  const lead = body.topLeadArm_deg * RAD;
  return [body.topTrunk_deg * RAD, lead, lead - body.topLag_deg * RAD];
}
