import {
  type DownswingRun,
  type SwingBody,
  type SwingTimings,
  simulateDownswing,
} from '../mechanics/index.ts';
import { addressPosture } from './address-posture.ts';
import { clubAfterImpact, followBegins, followThrough } from './follow-through.ts';
import { loopOf, PLANE_STATE } from './plane-state.ts';
import { type Quintic, quintic, quinticAt, quinticRate } from './quintic.ts';

/** A whole swing in its plane, from rest at address to past full extension. Times in s from impact. */
export interface PlaneSwing {
  readonly body: SwingBody;
  readonly run: DownswingRun;
  /** Where the swing begins to move, and where the account of it ends. */
  readonly start_s: number;
  readonly end_s: number;
  /** From when on all three segments move as in the mechanics, and when the drawn ending begins. */
  readonly mechanics_s: readonly [number, number];
  /** The club's last turning round before impact: the top as the catalogue of metrics has it. */
  readonly top_s: number;
  /** How much higher up the plane the hub is than in the mechanics (m): the golfer settles in the backswing. */
  readonly hubRise_m: (time_s: number) => number;
  /** Writes angles of trunk, lead arm and club (rad) and their speeds (rad/s) at a time; at rest before the start. */
  readonly at: (time_s: number, into: Float64Array) => void;
}

/** Why no swing came about. */
export interface NoPlaneSwing {
  readonly fault: string;
}

const RAD = Math.PI / 180;
const INTERVAL_S = 0.001;
/** How much of the swing after impact is drawn. */
const AFTER_IMPACT_S = 0.28;
/** The follow-through begins no later than this before the simulated motion ends. */
const BEFORE_END_S = 0.003;
/** Speed of the club, coming down, from which on its motion is that of the mechanics, rad/s, and how long before that it turns round at most, s. */
const TAKEN_OVER_AT = 80 * RAD;
const LONGEST_TURN_S = 0.15;
const LEAST_BEND = 1 * RAD;

/**
 * Puts a backswing before a simulated downswing and a follow-through after it. Trunk and lead arm go from address to the
 * start of the mechanics along quintics, and the hub comes down to where it stays. The club does so until it comes down at 80 deg/s, a
 * tenth of a second later: in the mechanics it hangs nearly still at first, moved by its weight alone, while a golfer's club turns
 * round as the body already goes forward. From there to impact all three are the mechanics', and shortly past it all but the
 * club, which the ball has slowed.
 *
 * @param backswing_s from the first movement to the start of the mechanics
 * @returns in words why not, where the mechanics make no swing or the body cannot stand at the ball
 * @example
 * const swing = planeSwing(SKILLED_BODY, SKILLED_TIMINGS, 0.8);
 * swing.start_s + swing.run.impact.time_s // -0.8: times count from impact, those of the mechanics from their start
 */
export function planeSwing(
  body: SwingBody,
  timings: SwingTimings,
  backswing_s: number,
): PlaneSwing | NoPlaneSwing {
  const swing = simulateDownswing(body, timings);
  if (swing.run === null) return { fault: swing.fault.found };
  const { run } = swing;
  const address = addressPosture(body);
  if (address === null)
    return { fault: 'this body cannot stand at the ball with the trail hand on the grip' };
  const impact = run.impact.time_s;
  const mechanics = withContact(readSeries(run), impact);
  const taken = clubComesDown(mechanics, impact);
  const state = new Float64Array(PLANE_STATE);
  mechanics(0, state);
  const rest = (position: number) => ({ position, speed: 0, acceleration: 0 });
  const [trunk, lead] = [0, 1].map((i) =>
    quintic(-backswing_s, rest(address.angles[i]!), 0, rest(state[i]!)),
  ) as [Quintic, Quintic];
  mechanics(taken.time, state);
  const club = quintic(-backswing_s, rest(address.angles[2]), taken.time, {
    position: state[2]!,
    speed: state[5]!,
    acceleration: taken.acceleration,
  });
  const top = turnOf(club, address.angles[2]);
  const rise = quintic(-backswing_s, rest(address.headDepth_m - run.impact.headDepth_m), 0, rest(0));
  const last = (run.series.time_s.length - 1) * INTERVAL_S;
  const followFrom = leaves(body, mechanics, impact, last);
  const atLeave = new Float64Array(PLANE_STATE);
  mechanics(followFrom, atLeave);
  const follow = followThrough(body, atLeave);
  const early = (path: Quintic, time: number, i: number, into: Float64Array): void => {
    const t = Math.max(path.from, time);
    into[i] = quinticAt(path, t);
    into[3 + i] = time < path.from ? 0 : quinticRate(path, t);
  };
  const at = (time_s: number, into: Float64Array): void => {
    const time = time_s + impact;
    if (time > followFrom) {
      if (!follow(time - followFrom, into))
        throw new Error(`planeSwing: no posture ${time_s} s after impact; ask for a time before end_s.`);
      return;
    }
    if (time >= 0) mechanics(time, into);
    if (time < 0) for (const [i, path] of [trunk, lead].entries()) early(path, time, i, into);
    if (time < taken.time) early(club, time, 2, into);
  };
  const whole: PlaneSwing = {
    body,
    run,
    start_s: -backswing_s - impact,
    end_s: AFTER_IMPACT_S,
    mechanics_s: [taken.time - impact, followFrom - impact],
    top_s: top - impact,
    hubRise_m: (time_s) => (time_s + impact >= 0 ? 0 : quinticAt(rise, Math.max(rise.from, time_s + impact))),
    at,
  };
  const broken = firstBroken(whole, follow, followFrom - impact);
  return broken === null ? whole : { fault: broken };
}

/** States of the run between its samples: cubics through angles and speeds (Hermite). */
function readSeries({ series }: DownswingRun): (time: number, into: Float64Array) => void {
  const angles = [series.trunk_deg, series.leadArm_deg, series.club_deg];
  const speeds = [series.trunk_deg_s, series.leadArm_deg_s, series.club_deg_s];
  const last = series.time_s.length - 2;
  return (time, into) => {
    const k = Math.min(last, Math.max(0, Math.floor(time / INTERVAL_S)));
    const h = series.time_s[k + 1]! - series.time_s[k]!;
    const s = (time - series.time_s[k]!) / h;
    for (let i = 0; i < 3; i++) {
      const [p, q] = [angles[i]![k]!, angles[i]![k + 1]!];
      const [v, w] = [speeds[i]![k]! * h, speeds[i]![k + 1]! * h];
      const [b, c] = [3 * (q - p) - 2 * v - w, 2 * (p - q) + v + w];
      into[i] = RAD * (p + s * (v + s * (b + s * c)));
      into[3 + i] = (RAD * (v + s * (2 * b + s * 3 * c))) / h;
    }
  };
}

/** The same with the club slowed from impact on: the mechanics know of no ball. */
function withContact(
  free: (time: number, into: Float64Array) => void,
  impact: number,
): (time: number, into: Float64Array) => void {
  const state = new Float64Array(PLANE_STATE);
  free(impact, state);
  const [angle, speed] = [state[2]!, state[5]!];
  return (time, into) => {
    free(time, into);
    if (time > impact) [into[2], into[5]] = clubAfterImpact(angle, speed, time - impact);
  };
}

/** Where the mechanics take the club over: coming down, for the last time before impact, through a speed. */
function clubComesDown(
  mechanics: (time: number, into: Float64Array) => void,
  impact: number,
): { readonly time: number; readonly acceleration: number } {
  const state = new Float64Array(PLANE_STATE);
  const speedAt = (time: number): number => {
    mechanics(time, state);
    return state[5]!;
  };
  let time = Math.floor(impact / INTERVAL_S) * INTERVAL_S;
  while (time > INTERVAL_S && speedAt(time - INTERVAL_S) >= TAKEN_OVER_AT) time -= INTERVAL_S;
  return { time, acceleration: (speedAt(time + INTERVAL_S) - speedAt(time - INTERVAL_S)) / (2 * INTERVAL_S) };
}

/** Where the club's path turns round, by halving. */
function turnOf(club: Quintic, address: number): number {
  let [a, b] = [club.to - LONGEST_TURN_S, club.to];
  if (quinticRate(club, a) * Math.sign(quinticAt(club, a) - address) <= 0) return club.to;
  for (let round = 0; round < 50; round++) {
    const middle = (a + b) / 2;
    if (quinticRate(club, middle) < 0) a = middle;
    else b = middle;
  }
  return b;
}

/** Where the mechanics are left for the follow-through. */
function leaves(
  body: SwingBody,
  mechanics: (time: number, into: Float64Array) => void,
  impact: number,
  last: number,
): number {
  const state = new Float64Array(PLANE_STATE);
  const latest = Math.max(impact, last - BEFORE_END_S);
  const begins = followBegins(body);
  for (let time = impact + INTERVAL_S; time < latest; time += INTERVAL_S) {
    mechanics(time, state);
    if (begins(state)) return time;
  }
  return latest;
}

/** Why the trail arm cannot close the loop somewhere on the way, or null. */
function firstBroken(
  swing: PlaneSwing,
  follow: (after: number, into: Float64Array) => boolean,
  followFrom: number,
): string | null {
  const state = new Float64Array(PLANE_STATE);
  for (let time = swing.start_s; time <= swing.end_s; time += 0.004) {
    if (time > followFrom && !follow(time - followFrom, state))
      return `the hands cannot come back ${(1000 * time).toFixed(0)} ms after impact`;
    swing.at(time, state);
    const loop = loopOf(swing.body, state);
    if (loop === null || loop.flexion_rad < LEAST_BEND)
      return `the trail arm does not reach the grip ${(1000 * time).toFixed(0)} ms from impact`;
  }
  return null;
}
