import type { SwingBody } from './swing-body.ts';
import { trailElbow } from './trail-elbow.ts';

/** State of the chain: angles of trunk, lead arm and club (rad), their speeds, the work done so far. */
export const CHAIN_STATE = 7;

const RAD = Math.PI / 180;

/** Position of the head in the plane against the hub, toward the target (m). */
export function headAhead(body: SwingBody, state: Float64Array): number {
  return (
    body.trunk.length_m * Math.sin(state[0]!) +
    body.leadArm.length_m * Math.sin(state[1]!) +
    body.club.length_m * Math.sin(state[2]!)
  );
}

/** Position of the head below the hub, down the plane (m). */
export function headBelow(body: SwingBody, state: Float64Array): number {
  return (
    body.trunk.length_m * Math.cos(state[0]!) +
    body.leadArm.length_m * Math.cos(state[1]!) +
    body.club.length_m * Math.cos(state[2]!)
  );
}

/** Velocity of the lead hand toward the target (m/s). */
function handAlong(body: SwingBody, state: Float64Array): number {
  return (
    body.trunk.length_m * Math.cos(state[0]!) * state[3]! +
    body.leadArm.length_m * Math.cos(state[1]!) * state[4]!
  );
}

/** Velocity of the lead hand up the plane (m/s). */
function handRising(body: SwingBody, state: Float64Array): number {
  return (
    body.trunk.length_m * Math.sin(state[0]!) * state[3]! +
    body.leadArm.length_m * Math.sin(state[1]!) * state[4]!
  );
}

/** Velocity of the head toward the target (m/s). */
export function headAlong(body: SwingBody, state: Float64Array): number {
  return handAlong(body, state) + body.club.length_m * Math.cos(state[2]!) * state[5]!;
}

/** Velocity of the head up the plane (m/s). */
export function headRising(body: SwingBody, state: Float64Array): number {
  return handRising(body, state) + body.club.length_m * Math.sin(state[2]!) * state[5]!;
}

export function handSpeed(body: SwingBody, state: Float64Array): number {
  return Math.hypot(handAlong(body, state), handRising(body, state));
}

export function headSpeed(body: SwingBody, state: Float64Array): number {
  return Math.hypot(headAlong(body, state), headRising(body, state));
}

/** Angle between lead arm and shaft, deg; 0 in line. */
export function lagOf(state: Float64Array): number {
  return (state[1]! - state[2]!) / RAD;
}

/** Bend of the trail elbow (deg) and its speed (deg/s); a motion ends before its loop can break. */
export function elbowOf(body: SwingBody, state: Float64Array): { flexion: number; speed: number } {
  const found = trailElbow(body.trunk.length_m, body.leadArm.length_m, body.trailArm, [
    state[0]!,
    state[1]!,
    state[2]!,
  ]);
  if (found.fault !== null) throw new Error(`elbowOf: ${found.fault}; end the motion before it.`);
  const [trunk, lead, club] = found.slopes;
  const speed = trunk * state[3]! + lead * state[4]! + club * state[5]!;
  return { flexion: found.flexion_rad / RAD, speed: speed / RAD };
}
