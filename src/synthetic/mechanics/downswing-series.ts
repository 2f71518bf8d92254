import type { Motion } from '../../numerics/index.ts';
import { elbowOf, handSpeed, headSpeed, lagOf } from './plane-motion.ts';
import type { SwingBody } from './swing-body.ts';

/** Angles in deg from the downward line of the plane, positive toward the target; speeds in deg/s; times from the start, at rest. */
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

const RAD = Math.PI / 180;
const INTERVAL_S = 0.001;

/** A motion as it is every millisecond, from the start to where it ends. */
export function sampleDownswing(body: SwingBody, motion: Motion): DownswingSeries {
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
    const bend = elbowOf(body, state);
    series.time_s[k] = time;
    series.trunk_deg[k] = state[0]! / RAD;
    series.leadArm_deg[k] = state[1]! / RAD;
    series.club_deg[k] = state[2]! / RAD;
    series.trunk_deg_s[k] = state[3]! / RAD;
    series.leadArm_deg_s[k] = state[4]! / RAD;
    series.club_deg_s[k] = state[5]! / RAD;
    series.lag_deg[k] = lagOf(state);
    series.trailElbow_deg[k] = bend.flexion;
    series.trailElbow_deg_s[k] = bend.speed;
    series.handSpeed_m_s[k] = handSpeed(body, state);
    series.headSpeed_m_s[k] = headSpeed(body, state);
  }
  return series;
}
