import { EXTENSION_ONSET_DROP_DEG, RELEASE_SHARE } from '../../kinematics/index.ts';
import type { Happening, Motion } from '../../numerics/index.ts';
import type { Chain } from './chain.ts';
import { handVelocity, headPosition, headVelocity } from './downswing-events.ts';
import type { SwingBody } from './swing-body.ts';
import { trailElbow } from './trail-elbow.ts';

/** Angles in deg from the downward line of the plane, positive toward the target; speeds in deg/s; times from the top. */
export interface DownswingSeries {
  readonly time_s: Float64Array;
  readonly trunk_deg: Float64Array;
  readonly leadArm_deg: Float64Array;
  readonly club_deg: Float64Array;
  readonly trunk_deg_s: Float64Array;
  readonly leadArm_deg_s: Float64Array;
  readonly club_deg_s: Float64Array;
  /** Angle between lead arm and shaft, 0 in line. */
  readonly lag_deg: Float64Array;
  readonly trailElbow_deg: Float64Array;
  /** Negative while it straightens. */
  readonly trailElbow_deg_s: Float64Array;
  readonly handSpeed_m_s: Float64Array;
  readonly headSpeed_m_s: Float64Array;
}

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

export interface DownswingRun {
  readonly series: DownswingSeries;
  readonly impact: ImpactState;
  readonly leadArmParallel_s: number | null;
  /** First after the lag's peak at which the lag has lost a tenth of that peak; null where that comes after impact. */
  readonly release_s: number | null;
  readonly lagPeak_deg: number;
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

const RAD = Math.PI / 180;
/** Of the series. */
const INTERVAL_S = 0.001;

/** What there is to say of a motion that reached the ball. */
export function summariseDownswing(
  body: SwingBody,
  chain: Chain,
  motion: Motion,
  impact: Happening,
): DownswingRun {
  const series = sample(body, motion);
  const before = series.time_s.findLastIndex((time) => time <= impact.time) + 1;
  const state = new Float64Array(motion.end.length);
  const when = (name: string): number | null =>
    motion.happenings.find((happening) => happening.name === name)?.time ?? null;
  const elbowAt = (time: number): number => {
    motion.at(time, state);
    return elbow(body, state).flexion;
  };
  const lagAt = (time: number): number => {
    motion.at(time, state);
    return lag(state);
  };
  const peaks = motion.happenings.filter((h) => h.name === 'lag at its most' && h.time < impact.time);
  const lagPeak = Math.max(series.lag_deg[0]!, ...peaks.map((h) => lag(h.state)));
  const peakTime = peaks.find((h) => lag(h.state) === lagPeak)?.time ?? 0;
  const parallel = when('lead arm parallel');
  const elbowAtTop = series.trailElbow_deg[0]!;
  const first = (values: Float64Array, below: number, from: number, exact: (time: number) => number) => {
    const at = values.findIndex((value, k) => series.time_s[k]! > from && k < before && value < below);
    return at < 1 ? null : crossing(exact, below, series.time_s[at - 1]!, series.time_s[at]!);
  };
  const [x] = headPosition(body, impact.state);
  const lowest = motion.happenings.filter((h) => h.name === 'low point');
  const nearest = lowest.reduce<Happening | null>(
    (best, h) =>
      best === null || Math.abs(h.time - impact.time) < Math.abs(best.time - impact.time) ? h : best,
    null,
  );
  const start = new Float64Array(motion.end.length);
  motion.at(0, start);
  const energy = (at: Float64Array): number => chain.kinetic(at) + chain.potential(at);
  const early = (values: Float64Array): Float64Array => values.subarray(0, before);
  return {
    series,
    impact: atImpact(body, impact),
    leadArmParallel_s: parallel,
    release_s: first(series.lag_deg, (1 - RELEASE_SHARE) * lagPeak, peakTime, lagAt),
    lagPeak_deg: lagPeak,
    elbowAtTop_deg: elbowAtTop,
    elbowRecoil_deg: largest(early(series.trailElbow_deg)) - elbowAtTop,
    transitionElbowChange_deg: parallel === null ? null : elbowAt(parallel) - elbowAtTop,
    elbowExtensionOnset_s: first(series.trailElbow_deg, elbowAtTop - EXTENSION_ONSET_DROP_DEG, 0, elbowAt),
    elbowExtensionPeak_deg_s: -smallest(early(series.trailElbow_deg_s)),
    wristSpeedPeak_deg_s: largest(
      early(series.club_deg_s).map((speed, k) => speed - series.leadArm_deg_s[k]!),
    ),
    clubSpeedPeak_deg_s: largest(early(series.club_deg_s)),
    handSpeedPeak_m_s: largest(early(series.handSpeed_m_s)),
    lowPoint_cm: nearest === null ? null : 100 * (headPosition(body, nearest.state)[0] - x),
    fullExtension_s: when('trail elbow straight'),
    energyDrift_J: energy(motion.end) - energy(start) - motion.end[6]!,
    kineticAtImpact_J: chain.kinetic(impact.state),
  };
}

function atImpact(body: SwingBody, { time, state }: Happening): ImpactState {
  const slope = Math.sin(body.planeInclination_deg * RAD);
  const [vx, vy] = headVelocity(body, state);
  const lean = -state[2]!;
  return {
    time_s: time,
    headSpeed_m_s: Math.hypot(vx, vy),
    handSpeed_m_s: Math.hypot(...handVelocity(body, state)),
    lag_deg: lag(state),
    trailElbow_deg: elbow(body, state).flexion,
    leanInPlane_deg: lean / RAD,
    lean_deg: Math.atan(Math.tan(lean) / slope) / RAD,
    attackAngle_deg: Math.atan((vy / vx) * slope) / RAD,
    headDepth_m: -headPosition(body, state)[1],
  };
}

function sample(body: SwingBody, motion: Motion): DownswingSeries {
  const end = motion.times.at(-1)!;
  const count = Math.floor(end / INTERVAL_S) + 1;
  const column = (): Float64Array => new Float64Array(count);
  const series: DownswingSeries = {
    time_s: column(),
    trunk_deg: column(),
    leadArm_deg: column(),
    club_deg: column(),
    trunk_deg_s: column(),
    leadArm_deg_s: column(),
    club_deg_s: column(),
    lag_deg: column(),
    trailElbow_deg: column(),
    trailElbow_deg_s: column(),
    handSpeed_m_s: column(),
    headSpeed_m_s: column(),
  };
  const state = new Float64Array(motion.end.length);
  for (let k = 0; k < count; k++) {
    const time = Math.min(k * INTERVAL_S, end);
    motion.at(time, state);
    const bend = elbow(body, state);
    series.time_s[k] = time;
    series.trunk_deg[k] = state[0]! / RAD;
    series.leadArm_deg[k] = state[1]! / RAD;
    series.club_deg[k] = state[2]! / RAD;
    series.trunk_deg_s[k] = state[3]! / RAD;
    series.leadArm_deg_s[k] = state[4]! / RAD;
    series.club_deg_s[k] = state[5]! / RAD;
    series.lag_deg[k] = lag(state);
    series.trailElbow_deg[k] = bend.flexion;
    series.trailElbow_deg_s[k] = bend.speed;
    series.handSpeed_m_s[k] = Math.hypot(...handVelocity(body, state));
    series.headSpeed_m_s[k] = Math.hypot(...headVelocity(body, state));
  }
  return series;
}

function lag(state: Float64Array): number {
  return (state[1]! - state[2]!) / RAD;
}

/** Flexion in deg and its speed in deg/s; the motion ends before the loop can break. */
function elbow(body: SwingBody, state: Float64Array): { flexion: number; speed: number } {
  const found = trailElbow(body.trunk.length_m, body.leadArm.length_m, body.trailArm, [
    state[0]!,
    state[1]!,
    state[2]!,
  ]);
  if (found.fault !== null) throw new Error(`summariseDownswing: ${found.fault}; end the motion before it.`);
  const speed = found.slopes.reduce((sum, slope, i) => sum + slope * state[3 + i]!, 0);
  return { flexion: found.flexion_rad / RAD, speed: speed / RAD };
}

function largest(values: Float64Array): number {
  return values.reduce((most, value) => Math.max(most, value), Number.NEGATIVE_INFINITY);
}

function smallest(values: Float64Array): number {
  return values.reduce((least, value) => Math.min(least, value), Number.POSITIVE_INFINITY);
}

/** Where a function falls through a level within an interval, by halving. */
function crossing(f: (time: number) => number, level: number, low: number, high: number): number {
  let [a, b] = [low, high];
  while (b - a > 1e-9) {
    const middle = (a + b) / 2;
    if (f(middle) < level) b = middle;
    else a = middle;
  }
  return b;
}
