import { EXTENSION_ONSET_DROP_DEG, type InstantName, RELEASE_SHARE } from '../../kinematics/index.ts';
import { MARKERS, type Placer } from './place-landmarks.ts';
import { handVelocity, headVelocity, loopOf, PLANE_STATE } from './plane-state.ts';
import type { PlaneSwing } from './plane-swing.ts';

/** What is true of a simulated swing. */
export interface CaptureTruth {
  /** Seconds from impact. */
  readonly instants: Readonly<Partial<Record<InstantName, number>>>;
  /** By metric column, in its unit; what the swing does not have is null. */
  readonly metrics: Readonly<Record<string, number | null>>;
}

const DEG = 180 / Math.PI;
const STEP_S = 0.0005;
/** As the instants takeaway and address are defined (m/s). */
const TAKEAWAY_SPEED = 0.2;
const STILL_SPEED = 0.1;

/**
 * The instants and metrics of a swing by their definitions in the catalogue of metrics, from the angles of the model itself, not from
 * markers: flexion by the closed loop, lag as the difference of two angles, lean and attack angle by the inclination of the plane.
 *
 * @example
 * const swing = planeSwing(SKILLED_BODY, SKILLED_TIMINGS, 0.8);
 * const { instants, metrics } = captureTruth(swing, placer(swing));
 * instants.impact // 0, by which the head has the speed that the mechanics gave it:
 * Math.abs(metrics.club_speed_mps! - swing.run.impact.headSpeed_m_s) < 1e-6 // true
 */
export function captureTruth(swing: PlaneSwing, placed: Placer): CaptureTruth {
  const { body, top_s } = swing;
  const state = new Float64Array(PLANE_STATE);
  const read =
    <T>(f: (state: Float64Array) => T) =>
    (time: number): T => {
      swing.at(time, state);
      return f(state);
    };
  const loop = read((s) => loopOf(body, s)!);
  const flexion = (t: number): number => loop(t).flexion_rad * DEG;
  const straightening = (t: number): number => -loop(t).rate_rad_s * DEG;
  const lag = read((s) => Math.abs(s[1]! - s[2]!) * DEG);
  const leadArm = read((s) => s[1]!);
  const club = read((s) => s[2]!);
  const handSpeed = read((s) => Math.hypot(...handVelocity(body, s)));
  const headSpeed = speedOfHead(placed);
  const slope = (body.planeInclination_deg * Math.PI) / 180;

  const parallel = lastCrossing((t) => leadArm(t) + Math.PI / 2, top_s, 0);
  const delivery = lastCrossing((t) => club(t) + Math.PI / 2, top_s, 0);
  const lagPeak = largest(lag, top_s, 0);
  const release = firstCrossing((t) => (1 - RELEASE_SHARE) * lagPeak.value - lag(t), lagPeak.at, 0);
  const flexionTop = flexion(top_s);
  const flexionPeak = Math.max(flexionTop, largest(flexion, top_s, 0).value);
  const onset = firstCrossing((t) => flexionTop - EXTENSION_ONSET_DROP_DEG - flexion(t), top_s, 0);
  const extended = largest((t) => -flexion(t), 0, swing.end_s);
  const takeaway = firstCrossing((t) => headSpeed(t) - TAKEAWAY_SPEED, swing.start_s, top_s);
  const address = firstCrossing((t) => headSpeed(t) - STILL_SPEED, swing.start_s, top_s);

  swing.at(0, state);
  const head = placed.turned(headVelocity(body, state));
  const lean = Math.atan2(Math.sin(-state[2]!), Math.cos(state[2]!) * Math.sin(slope)) * DEG;
  return {
    instants: {
      ...known('address', address),
      ...known('takeaway', takeaway),
      top: top_s,
      ...known('lead arm parallel', parallel),
      ...known('delivery', delivery),
      impact: 0,
      ...(extended.at < swing.end_s - STEP_S ? { 'full extension': extended.at } : {}),
    },
    metrics: {
      trail_elbow_flexion_top_deg: flexionTop,
      trail_elbow_flexion_peak_deg: flexionPeak,
      trail_elbow_flexion_arm_parallel_deg: parallel === null ? null : flexion(parallel),
      trail_elbow_flexion_impact_deg: flexion(0),
      elbow_recoil_deg: flexionPeak - flexionTop,
      transition_elbow_change_deg: parallel === null ? null : flexion(parallel) - flexionTop,
      elbow_extension_onset_ms: onset === null ? null : 1000 * (onset - top_s),
      elbow_extension_speed_peak_dps: largest(straightening, top_s, 0).value,
      lag_top_deg: lag(top_s),
      lag_peak_deg: lagPeak.value,
      lag_delivery_deg: delivery === null ? null : lag(delivery),
      lag_impact_deg: lag(0),
      release_onset_ms: release === null ? null : -1000 * release,
      release_timing_pct: release === null ? null : (100 * (release - top_s)) / -top_s,
      shaft_lean_impact_deg: lean,
      pelvis_turn_impact_deg: placed.pelvisTurn_deg(0),
      thorax_turn_impact_deg: shoulderTurn(placed),
      downswing_ms: -1000 * top_s,
      hand_speed_peak_mps: largest(handSpeed, top_s, 0).value,
      club_speed_mps: Math.hypot(...head),
      attack_angle_deg: Math.atan2(head[1], Math.hypot(head[0], head[2])) * DEG,
      // Of the path that the head was on before contact, as the catalogue has it.
      low_point_cm: swing.run.lowPoint_cm,
    },
  };
}

function known(name: InstantName, time: number | null): Partial<Record<InstantName, number>> {
  return time === null ? {} : { [name]: time };
}

/** Of the line from trail to lead shoulder at impact, deg, + = open. */
function shoulderTurn(placed: Placer): number {
  const at = new Float64Array(3 * MARKERS.length);
  placed.at(0, at);
  const [lead, trail] = [3 * MARKERS.indexOf('lead_shoulder'), 3 * MARKERS.indexOf('trail_shoulder')];
  return Math.atan2(at[trail + 2]! - at[lead + 2]!, at[lead]! - at[trail]!) * DEG;
}

/** Speed of the head in the lab, m/s, by a central difference: in the backswing the hub moves as well. */
function speedOfHead(placed: Placer): (time: number) => number {
  const [a, b] = [new Float64Array(3 * MARKERS.length), new Float64Array(3 * MARKERS.length)];
  const head = 3 * MARKERS.indexOf('club_head');
  return (time) => {
    placed.at(time - 1e-4, a);
    placed.at(time + 1e-4, b);
    return Math.hypot(b[head]! - a[head]!, b[head + 1]! - a[head + 1]!, b[head + 2]! - a[head + 2]!) / 2e-4;
  };
}

/** The largest value on a fine grid, refined by the parabola through its neighbours. */
function largest(
  f: (t: number) => number,
  from: number,
  to: number,
): { readonly value: number; readonly at: number } {
  const count = Math.max(2, Math.ceil((to - from) / STEP_S));
  const timeOf = (i: number): number => from + ((to - from) * i) / count;
  let [best, value] = [0, Number.NEGATIVE_INFINITY];
  for (let i = 0; i <= count; i++) {
    const here = f(timeOf(i));
    if (here > value) [best, value] = [i, here];
  }
  if (best === 0 || best === count) return { value, at: timeOf(best) };
  const [before, after] = [f(timeOf(best - 1)), f(timeOf(best + 1))];
  const share = (before - after) / (2 * (before - 2 * value + after));
  const at = timeOf(best) + (share * (to - from)) / count;
  return { value: f(at), at };
}

function firstCrossing(f: (t: number) => number, from: number, to: number): number | null {
  const count = Math.ceil((to - from) / STEP_S);
  for (let i = 1; i <= count; i++) {
    const time = Math.min(to, from + i * STEP_S);
    if (f(time) >= 0) return i === 1 && f(from) >= 0 ? null : between(f, time - STEP_S, time);
  }
  return null;
}

function lastCrossing(f: (t: number) => number, from: number, to: number): number | null {
  for (let time = to; time > from; time -= STEP_S)
    if (f(time) >= 0 && f(time - STEP_S) < 0) return between(f, time - STEP_S, time);
  return null;
}

/** Where a function rises through zero, by halving. */
function between(f: (t: number) => number, low: number, high: number): number {
  let [a, b] = [low, high];
  for (let round = 0; round < 40; round++) {
    const middle = (a + b) / 2;
    if (f(middle) < 0) a = middle;
    else b = middle;
  }
  return b;
}
