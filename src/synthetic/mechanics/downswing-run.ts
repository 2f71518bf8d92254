import { EXTENSION_ONSET_DROP_DEG, RELEASE_SHARE } from '../../kinematics/index.ts';
import type { Happening, Motion } from '../../numerics/index.ts';
import type { Chain } from './chain.ts';
import { lookAtDownswing } from './downswing-looks.ts';
import type { DownswingSeries } from './downswing-series.ts';
import {
  elbowOf,
  handSpeed,
  headAhead,
  headAlong,
  headBelow,
  headRising,
  headSpeed,
  lagOf,
} from './plane-motion.ts';
import type { SwingBody } from './swing-body.ts';

/** A simulated golfer at impact. */
export interface ImpactState {
  readonly time_s: number;
  readonly headSpeed_m_s: number;
  readonly handSpeed_m_s: number;
  readonly lag_deg: number;
  readonly trailElbow_deg: number;
  /** In the plane of the swing: positive = hands ahead of the head. */
  readonly leanInPlane_deg: number;
  /** In the vertical plane along the target line. */
  readonly lean_deg: number;
  /** Negative = down. */
  readonly attackAngle_deg: number;
  /** Of the head below the level of the hub, along the plane. */
  readonly headDepth_m: number;
}

/** A downswing in numbers, by the definitions of the metric catalogue. Times from the start of the mechanics, at rest. */
export interface DownswingSummary {
  /** Where the club turns round for the last time: once the arm moves the club still hangs back for a while. 0 where it never does. */
  readonly top_s: number;
  /** From top to impact. */
  readonly downswing_s: number;
  readonly impact: ImpactState;
  readonly leadArmParallel_s: number | null;
  /** Shaft level, for the last time before impact. */
  readonly delivery_s: number | null;
  /** First after the lag's peak at which the lag has lost a tenth of that peak; null where that comes after impact. */
  readonly release_s: number | null;
  readonly lagAtTop_deg: number;
  readonly lagPeak_deg: number;
  readonly lagAtDelivery_deg: number | null;
  readonly elbowAtTop_deg: number;
  /** The most bend after the top, less the bend at the top. */
  readonly elbowRecoil_deg: number;
  /** Bend at lead arm parallel less bend at the top; negative = it straightened. */
  readonly transitionElbowChange_deg: number | null;
  /** First after the top at which the elbow is 5 deg straighter than there. */
  readonly elbowExtensionOnset_s: number | null;
  /** Fastest straightening before impact. */
  readonly elbowExtensionPeak_deg_s: number;
  /** Fastest lessening of the lag before impact. */
  readonly wristSpeedPeak_deg_s: number;
  readonly clubSpeedPeak_deg_s: number;
  readonly handSpeedPeak_m_s: number;
  /** Of the head's arc ahead of the ball; null where the run ended before it. */
  readonly lowPoint_cm: number | null;
  /** Where the trail elbow is straight; null where the run ended before it. */
  readonly fullExtension_s: number | null;
  /** Energy at the end less energy at the start less the work of all joint moments. */
  readonly energyDrift_J: number;
  /** Kinetic energy at impact, against which a drift is held. */
  readonly kineticAtImpact_J: number;
}

/** A simulated downswing with its series over time. */
export interface DownswingRun extends DownswingSummary {
  readonly series: DownswingSeries;
}

const RAD = Math.PI / 180;

/** What there is to say of a motion that reached the ball. */
export function summariseDownswing(
  body: SwingBody,
  chain: Chain,
  motion: Motion,
  impact: Happening,
): DownswingSummary {
  const before = (name: string): Happening | undefined =>
    motion.happenings.findLast((happening) => happening.name === name && happening.time < impact.time);
  const top = before('club turns round')?.time ?? motion.times[0]!;
  const looks = lookAtDownswing(body, motion, top, impact.time);
  const lagAtTop = looks.at('lag_deg', top);
  const elbowAtTop = looks.at('elbow_deg', top);
  let [lagPeak, peakTime] = [lagAtTop, top];
  for (const { name, time, state } of motion.happenings)
    if (name === 'lag at its most' && time > top && time < impact.time && lagOf(state) > lagPeak)
      [lagPeak, peakTime] = [lagOf(state), time];
  const parallel = motion.happenings.find((happening) => happening.name === 'lead arm parallel');
  const delivery = before('delivery');
  const start = new Float64Array(motion.end.length);
  motion.at(motion.times[0]!, start);
  const energy = (at: Float64Array): number => chain.kinetic(at) + chain.potential(at);
  return {
    top_s: top,
    downswing_s: impact.time - top,
    impact: atImpact(body, impact),
    leadArmParallel_s: parallel?.time ?? null,
    delivery_s: delivery?.time ?? null,
    release_s: looks.firstBelow('lag_deg', (1 - RELEASE_SHARE) * lagPeak, peakTime),
    lagAtTop_deg: lagAtTop,
    lagPeak_deg: lagPeak,
    lagAtDelivery_deg: delivery === undefined ? null : lagOf(delivery.state),
    elbowAtTop_deg: elbowAtTop,
    elbowRecoil_deg: looks.most('elbow_deg') - elbowAtTop,
    transitionElbowChange_deg:
      parallel === undefined ? null : elbowOf(body, parallel.state).flexion - elbowAtTop,
    elbowExtensionOnset_s: looks.firstBelow('elbow_deg', elbowAtTop - EXTENSION_ONSET_DROP_DEG, top),
    elbowExtensionPeak_deg_s: looks.most('straightening_deg_s'),
    wristSpeedPeak_deg_s: looks.most('wrist_deg_s'),
    clubSpeedPeak_deg_s: looks.most('club_deg_s'),
    handSpeedPeak_m_s: looks.most('hand_m_s'),
    lowPoint_cm: lowPointAhead(body, motion, impact),
    fullExtension_s:
      motion.happenings.find((happening) => happening.name === 'trail elbow straight')?.time ?? null,
    energyDrift_J: energy(motion.end) - energy(start) - motion.end[6]!,
    kineticAtImpact_J: chain.kinetic(impact.state),
  };
}

/** Of the head's arc ahead of the ball, cm: the lowest point nearest in time to impact. */
function lowPointAhead(body: SwingBody, motion: Motion, impact: Happening): number | null {
  let nearest: Happening | null = null;
  for (const happening of motion.happenings)
    if (
      happening.name === 'low point' &&
      (nearest === null || Math.abs(happening.time - impact.time) < Math.abs(nearest.time - impact.time))
    )
      nearest = happening;
  return nearest === null ? null : 100 * (headAhead(body, nearest.state) - headAhead(body, impact.state));
}

function atImpact(body: SwingBody, { time, state }: Happening): ImpactState {
  const slope = Math.sin(body.planeInclination_deg * RAD);
  const lean = -state[2]!;
  return {
    time_s: time,
    headSpeed_m_s: headSpeed(body, state),
    handSpeed_m_s: handSpeed(body, state),
    lag_deg: lagOf(state),
    trailElbow_deg: elbowOf(body, state).flexion,
    leanInPlane_deg: lean / RAD,
    lean_deg: Math.atan(Math.tan(lean) / slope) / RAD,
    attackAngle_deg: attackAngleOf(body, state),
    headDepth_m: headBelow(body, state),
  };
}

/** Negative = down, deg. The head moves in a plane along the target line, of which only the rise along the slope is seen upright. */
export function attackAngleOf(body: SwingBody, state: Float64Array): number {
  const slope = Math.sin(body.planeInclination_deg * RAD);
  const [along, rising] = [headAlong(body, state), headRising(body, state)];
  return (
    Math.atan2(slope * rising, Math.hypot(along, Math.cos(body.planeInclination_deg * RAD) * rising)) / RAD
  );
}
