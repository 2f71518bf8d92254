import type { Motion } from '../../numerics/index.ts';
import { createChain } from './chain.ts';
import { attackAngleOf } from './downswing-run.ts';
import { followDownswing } from './follow-downswing.ts';
import { headAhead, headBelow } from './plane-motion.ts';
import { gravityInPlane, type SwingBody } from './swing-body.ts';
import type { SwingTimings } from './swing-timings.ts';

/** Angles of trunk, lead arm and club, rad. */
export type PlaneAngles = readonly [number, number, number];

/** How a swing passes its two ends, wherever the trail arm is and the ball lies. */
export interface SwingPostures {
  /** Where the club turns round. */
  readonly top: PlaneAngles;
  /** Where the head travels at the attack angle asked for, last before its lowest. */
  readonly strike: PlaneAngles;
  /** Where the ball must lie for that, against the hub. */
  readonly ballAhead_m: number;
  /** How far down the plane it then lies. */
  readonly reach_m: number;
}

/** An arm so long that no swing pulls it off the grip: the trail arm takes no part in the motion. */
const LONG_ARM = { upperArm_m: 3, elbowToGrip_m: 3 } as const;

/**
 * The postures of a swing at the top and where the head has an attack angle, from which stance and trail arm can be fitted.
 *
 * @param attackAngle_deg negative = down
 * @param relativeTolerance of the integration, such as 1e-8
 * @returns null where the head never has it on its way to its lowest point, or the swing cannot be followed
 * @example
 * // Farther back the head comes down more steeply
 * const [steep, shallow] = [-6, -2].map((angle) => swingPostures(SKILLED_BODY, SKILLED_TIMINGS, angle, 1e-8)!);
 * steep.ballAhead_m < shallow.ballAhead_m // true
 */
export function swingPostures(
  body: SwingBody,
  timings: SwingTimings,
  attackAngle_deg: number,
  relativeTolerance: number,
): SwingPostures | null {
  const { give: _, ...arm } = body.trailArm;
  const free = { ...body, trailArm: { ...arm, ...LONG_ARM } };
  const chain = createChain([body.trunk, body.leadArm, body.club], gravityInPlane(body), body.limits);
  const motion = followDownswing(free, chain, timings, relativeTolerance);
  if (motion.fault !== null) return null;
  const delivery = motion.happenings.find(({ name }) => name === 'delivery');
  const lowest = motion.happenings.find(
    ({ name, time }) => name === 'low point' && delivery !== undefined && time > delivery.time,
  );
  if (delivery === undefined || lowest === undefined) return null;
  const strike = new Float64Array(motion.end.length);
  let [early, late] = [delivery.time, lowest.time];
  while (late - early > 1e-9) {
    const middle = (early + late) / 2;
    motion.at(middle, strike);
    if (attackAngleOf(body, strike) < attackAngle_deg) early = middle;
    else late = middle;
  }
  motion.at(late, strike);
  return {
    top: topOf(motion, delivery.time),
    strike: [strike[0]!, strike[1]!, strike[2]!],
    ballAhead_m: headAhead(body, strike),
    reach_m: headBelow(body, strike),
  };
}

function topOf(motion: Motion, before: number): PlaneAngles {
  const state = new Float64Array(motion.end.length);
  const turn = motion.happenings.findLast(({ name, time }) => name === 'club turns round' && time < before);
  motion.at(turn?.time ?? motion.times[0]!, state);
  return [state[0]!, state[1]!, state[2]!];
}
