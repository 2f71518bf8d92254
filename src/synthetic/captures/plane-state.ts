import { type SwingBody, trailElbow } from '../mechanics/index.ts';

/** Angles of trunk, lead arm and club from the downward line of the plane (rad), then their speeds (rad/s). */
export const PLANE_STATE = 6;

export type PlanePoint = readonly [number, number];

/** From a hinge to the far end of a segment of that length: x toward the target, y up the plane. */
export function along(length: number, angle: number): [number, number] {
  return [length * Math.sin(angle), -length * Math.cos(angle)];
}

/** The points of the chain and the trail hand against the hub, in the plane (m). */
export interface PlanePoints {
  readonly leadShoulder: PlanePoint;
  readonly leadHand: PlanePoint;
  readonly head: PlanePoint;
  readonly trailHand: PlanePoint;
  /** Where the girdle has it; the shoulder blade may carry it on toward the hand. */
  readonly trailShoulderAtRest: PlanePoint;
}

/**
 * The points of the body in the plane of the swing (m, from the hub) at a state of the chain: the angles of trunk,
 * lead arm and club, rad.
 *
 * @example
 * // The trunk level, arm and club hanging: lengths 0.197, 0.62 and 0.9 m, the hands 0.045 m apart
 * const { leadHand, head, trailHand } = planePoints(SKILLED_BODY, [Math.PI / 2, 0, 0]);
 * [leadHand, head, trailHand] // [[0.197, -0.62], [0.197, -1.52], [0.197, -0.665]]
 */
export function planePoints(body: SwingBody, state: ArrayLike<number>): PlanePoints {
  const [trunk, lead, club] = [state[0]!, state[1]!, state[2]!];
  const leadShoulder = along(body.trunk.length_m, trunk);
  const leadHand = plus(leadShoulder, along(body.leadArm.length_m, lead));
  return {
    leadShoulder,
    leadHand,
    head: plus(leadHand, along(body.club.length_m, club)),
    trailHand: plus(leadHand, along(body.trailArm.handGap_m, club)),
    trailShoulderAtRest: along(body.trailArm.shoulderRadius_m, trunk - body.trailArm.shoulderAngle_rad),
  };
}

function plus(a: PlanePoint, b: PlanePoint): [number, number] {
  return [a[0] + b[0], a[1] + b[1]];
}

/**
 * What the closed loop makes of the trail arm; null where the arm cannot close it.
 *
 * @param state angles of trunk, lead arm and club (rad), then their speeds (rad/s)
 * @example
 * // Shoulders on a level line 0.4 m apart, hands 0.3 m below the lead shoulder, upper arm 0.3 m, elbow to grip 0.4 m: 3, 4 and 5
 * const trailArm = { shoulderRadius_m: 0.2, shoulderAngle_rad: Math.PI, shoulderOffset_m: 0, upperArm_m: 0.3, elbowToGrip_m: 0.4, handGap_m: 0 };
 * const { trunk, leadArm } = SKILLED_BODY;
 * const body = { ...SKILLED_BODY, trunk: { ...trunk, length_m: 0.2 }, leadArm: { ...leadArm, length_m: 0.3 }, trailArm };
 * loopOf(body, [Math.PI / 2, 0, 0, 0, 0, 0]) // { flexion_rad: 1.5708, rate_rad_s: 0, give_m: 0 }: a right angle
 */
export function loopOf(
  body: SwingBody,
  state: ArrayLike<number>,
): { readonly flexion_rad: number; readonly rate_rad_s: number; readonly give_m: number } | null {
  const found = trailElbow(body.trunk.length_m, body.leadArm.length_m, body.trailArm, [
    state[0]!,
    state[1]!,
    state[2]!,
  ]);
  if (found.fault !== null) return null;
  const [trunk, lead, club] = found.slopes;
  return {
    flexion_rad: found.flexion_rad,
    rate_rad_s: trunk * state[3]! + lead * state[4]! + club * state[5]!,
    give_m: found.give_m,
  };
}

/** Velocity of the head in the plane (m/s). */
export function headVelocity(body: SwingBody, state: ArrayLike<number>): [number, number] {
  return velocity([body.trunk.length_m, body.leadArm.length_m, body.club.length_m], state);
}

/** Velocity of the lead hand in the plane (m/s). */
export function handVelocity(body: SwingBody, state: ArrayLike<number>): [number, number] {
  return velocity([body.trunk.length_m, body.leadArm.length_m], state);
}

function velocity(lengths: readonly number[], state: ArrayLike<number>): [number, number] {
  let [x, y] = [0, 0];
  lengths.forEach((length, i) => {
    x += length * Math.cos(state[i]!) * state[3 + i]!;
    y += length * Math.sin(state[i]!) * state[3 + i]!;
  });
  return [x, y];
}
