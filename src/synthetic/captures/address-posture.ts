import type { SwingBody } from '../mechanics/index.ts';
import { loopOf } from './plane-state.ts';

const RAD = Math.PI / 180;
/** Shaft lean in the plane, and bend of the trail elbow, that a golfer is taken to set up with. Design assumption. */
const LEAN_AT_ADDRESS = 3 * RAD;
const ELBOW_AT_ADDRESS = 20 * RAD;
/** A straighter elbow would stand at the end of its range. */
const LEAST_BEND = 6 * RAD;
const TRUNK_TRIED = [40 * RAD, 120 * RAD] as const;
const TRIES = 161;

export interface AddressPosture {
  /** Of trunk, lead arm and club (rad). */
  readonly angles: readonly [number, number, number];
  /** Of the head below the hub, along the plane (m). */
  readonly headDepth_m: number;
}

/**
 * How a body stands at the ball: head at the ball, shaft leaning 3 deg, and of all turns of the trunk at which the trail hand reaches
 * the grip the one with a trail elbow bent nearest to 20 deg. The hub may stand higher over the ball than at impact.
 *
 * @returns null where this body cannot stand so
 */
export function addressPosture(body: SwingBody): AddressPosture | null {
  const [girdle, arm, club] = [body.trunk.length_m, body.leadArm.length_m, body.club.length_m];
  let best: (AddressPosture & { readonly off: number }) | null = null;
  for (let k = 0; k < TRIES; k++) {
    const trunk = TRUNK_TRIED[0] + ((TRUNK_TRIED[1] - TRUNK_TRIED[0]) * k) / (TRIES - 1);
    const across = (body.ballAhead_m - girdle * Math.sin(trunk) + club * Math.sin(LEAN_AT_ADDRESS)) / arm;
    if (Math.abs(across) > 1) continue;
    const lead = Math.asin(across);
    const loop = loopOf(body, [trunk, lead, -LEAN_AT_ADDRESS, 0, 0, 0]);
    if (loop === null || loop.flexion_rad < LEAST_BEND) continue;
    const off = Math.abs(loop.flexion_rad - ELBOW_AT_ADDRESS);
    if (best !== null && off >= best.off) continue;
    const headDepth_m = girdle * Math.cos(trunk) + arm * Math.cos(lead) + club * Math.cos(LEAN_AT_ADDRESS);
    best = { angles: [trunk, lead, -LEAN_AT_ADDRESS], headDepth_m, off };
  }
  return best;
}
