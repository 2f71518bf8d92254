import type { EventFunction } from '../../numerics/index.ts';
import type { SwingBody } from './swing-body.ts';
import { trailElbow } from './trail-elbow.ts';

const RAD = Math.PI / 180;

/** Position of the head in the plane against the hub: x toward the target, y up the plane (m). */
export function headPosition(body: SwingBody, state: Float64Array): [number, number] {
  return planePoint(state, [body.trunk.length_m, body.leadArm.length_m, body.club.length_m]);
}

/** Velocity of the head in the plane (m/s). */
export function headVelocity(body: SwingBody, state: Float64Array): [number, number] {
  return planeVelocity(state, [body.trunk.length_m, body.leadArm.length_m, body.club.length_m]);
}

/** Velocity of the lead hand in the plane (m/s). */
export function handVelocity(body: SwingBody, state: Float64Array): [number, number] {
  return planeVelocity(state, [body.trunk.length_m, body.leadArm.length_m]);
}

/** What is looked for while a downswing is followed. The loop breaks where the trail hand would leave the grip. */
export function downswingEvents(body: SwingBody): EventFunction[] {
  const reach = spanAt(body, body.straightElbow_deg * RAD);
  return [
    { name: 'lag at its most', value: (_t, s) => s[4]! - s[5]!, direction: -1, terminal: false },
    { name: 'lead arm parallel', value: (_t, s) => s[1]! + Math.PI / 2, direction: 1, terminal: false },
    {
      name: 'impact',
      value: (_t, s) => headPosition(body, s)[0] - body.ballAhead_m,
      direction: 1,
      terminal: false,
    },
    { name: 'low point', value: (_t, s) => headVelocity(body, s)[1], direction: 1, terminal: false },
    {
      name: 'trail elbow straight',
      value: (_t, s) => handDistance(body, s) - reach,
      direction: 1,
      terminal: true,
    },
    {
      name: 'trail hand at its shoulder',
      value: (_t, s) => handDistance(body, s) - spanAt(body, 0.98 * Math.PI),
      direction: -1,
      terminal: true,
    },
  ];
}

/** From trail shoulder to trail hand at a flexion. */
function spanAt(body: SwingBody, flexion: number): number {
  const { upperArm_m: u, elbowToGrip_m: f } = body.trailArm;
  return Math.sqrt(u * u + f * f + 2 * u * f * Math.cos(flexion));
}

function handDistance(body: SwingBody, state: Float64Array): number {
  return trailElbow(body.trunk.length_m, body.leadArm.length_m, body.trailArm, [
    state[0]!,
    state[1]!,
    state[2]!,
  ]).distance_m;
}

function planePoint(state: Float64Array, lengths: readonly number[]): [number, number] {
  let [x, y] = [0, 0];
  lengths.forEach((length, i) => {
    x += length * Math.sin(state[i]!);
    y -= length * Math.cos(state[i]!);
  });
  return [x, y];
}

function planeVelocity(state: Float64Array, lengths: readonly number[]): [number, number] {
  let [x, y] = [0, 0];
  lengths.forEach((length, i) => {
    x += length * Math.cos(state[i]!) * state[3 + i]!;
    y += length * Math.sin(state[i]!) * state[3 + i]!;
  });
  return [x, y];
}
