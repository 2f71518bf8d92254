import { type SwingBody, trailElbow } from '../mechanics/index.ts';
import { along, planePoints } from './plane-state.ts';

const RAD = Math.PI / 180;
/** Bend that is left where the trail elbow is straightest. */
const STRAIGHTEST = 5 * RAD;
/** Less is left only where the simulated motion has gone nearly as far already. */
const LEAST_LEFT = 1.5 * RAD;
/** The hand slows down over about twice this time before it is furthest from its shoulder, s. */
const SLOWING_S = 0.025;
/** Speed at which the hands come back toward the trail shoulder, m/s; turning speeds to which trunk and club slow down, rad/s, and how soon, s. */
const COMING_BACK = 0.5;
const TRUNK = { speed: 60 * RAD, within_s: 0.12 } as const;
const CLUB = { speed: 200 * RAD, within_s: 0.06 } as const;
/** Share of its speed that the club loses to the ball. Design assumption. */
const CONTACT_LOSS = 0.2;

/**
 * The swing after a moment shortly past impact: a drawn ending, not mechanics, so that a capture shows full extension and a
 * little beyond. Trunk and club slow down exponentially; the trail hand moves away from its shoulder ever more slowly until the elbow
 * is at its straightest, and comes back; the lead arm is where that puts it. Design assumption throughout.
 *
 * @param start state of the plane at the moment
 * @returns writes the state some seconds after the moment; false where the hands cannot be there
 */
export function followThrough(
  body: SwingBody,
  start: Float64Array,
): (after_s: number, into: Float64Array) => boolean {
  const { trailArm: arm, leadArm } = body;
  const [reach0, speed0] = handDistance(body, start);
  const straightest = distanceAt(body, STRAIGHTEST);
  const most = reach0 < straightest ? straightest : (reach0 + distanceAt(body, LEAST_LEFT)) / 2;
  const rising_s = speed0 > 0 ? (2 * (most - reach0)) / speed0 : 0;
  const bend = rising_s > 0 ? (2 * (most - reach0)) / (rising_s * rising_s) : 50;
  const peak = rising_s > 0 ? most : reach0;
  const side = Math.sign(turnFrom(body, start, start[1]!)) || 1;

  const distance = (t: number): [number, number] => {
    if (t < rising_s) {
      const left = 1 - t / rising_s;
      return [peak - (peak - reach0) * left * left, speed0 * left];
    }
    const width = COMING_BACK / bend;
    const gone = (t - rising_s) / width;
    const root = Math.sqrt(1 + gone * gone);
    return [peak - COMING_BACK * width * (root - 1), (-COMING_BACK * gone) / root];
  };
  return (t, into) => {
    [into[0], into[3]] = slowed(start[0]!, start[3]!, t, TRUNK);
    [into[2], into[5]] = slowed(start[2]!, start[5]!, t, CLUB);
    const [reach, reachSpeed] = distance(t);
    const q = offset(body, into);
    const size = Math.hypot(q[0], q[1]);
    const level = reach * reach - arm.shoulderOffset_m ** 2;
    const cosine = (level - size * size - leadArm.length_m ** 2) / (2 * leadArm.length_m * size);
    if (Math.abs(cosine) > 1) return false;
    into[1] = Math.atan2(q[0], -q[1]) + side * Math.acos(cosine);
    into[1] += 2 * Math.PI * Math.round((start[1]! - into[1]) / (2 * Math.PI));
    const rate = offsetRate(body, into);
    const [x, y] = along(leadArm.length_m, into[1]);
    const [toX, toY] = [q[0] + x, q[1] + y];
    const across = leadArm.length_m * (toX * Math.cos(into[1]) + toY * Math.sin(into[1]));
    into[4] = (reach * reachSpeed - toX * rate[0] - toY * rate[1]) / across;
    return Number.isFinite(into[4]!);
  };
}

/** Tells of a state after impact whether the follow-through must begin there for the elbow not to be overstretched. */
export function followBegins(body: SwingBody): (state: Float64Array) => boolean {
  const straightest = distanceAt(body, STRAIGHTEST);
  return (state) => {
    const [reach, speed] = handDistance(body, state);
    return straightest - reach < SLOWING_S * speed;
  };
}

/** Angle and speed of the club some time after impact: the ball slows it at once, then it slows down as in the follow-through. */
export function clubAfterImpact(angle: number, speed: number, after_s: number): readonly [number, number] {
  return slowed(angle, (1 - CONTACT_LOSS) * speed, after_s, CLUB);
}

function slowed(
  angle: number,
  from: number,
  t: number,
  { speed, within_s }: { readonly speed: number; readonly within_s: number },
): readonly [number, number] {
  const fading = Math.exp(-t / within_s);
  return [angle + speed * t + (from - speed) * within_s * (1 - fading), speed + (from - speed) * fading];
}

/** From the trail shoulder at rest to the lead shoulder plus the gap of the hands, in the plane. */
function offset(body: SwingBody, state: ArrayLike<number>): [number, number] {
  const lead = along(body.trunk.length_m, state[0]!);
  const gap = along(body.trailArm.handGap_m, state[2]!);
  const trail = along(body.trailArm.shoulderRadius_m, state[0]! - body.trailArm.shoulderAngle_rad);
  return [lead[0] + gap[0] - trail[0], lead[1] + gap[1] - trail[1]];
}

function offsetRate(body: SwingBody, state: ArrayLike<number>): [number, number] {
  const turned = (length: number, angle: number, speed: number): [number, number] => [
    length * Math.cos(angle) * speed,
    length * Math.sin(angle) * speed,
  ];
  const lead = turned(body.trunk.length_m, state[0]!, state[3]!);
  const gap = turned(body.trailArm.handGap_m, state[2]!, state[5]!);
  const { shoulderRadius_m, shoulderAngle_rad } = body.trailArm;
  const trail = turned(shoulderRadius_m, state[0]! - shoulderAngle_rad, state[3]!);
  return [lead[0] + gap[0] - trail[0], lead[1] + gap[1] - trail[1]];
}

/** How far the lead arm is turned from the line through which its two possible places mirror each other. */
function turnFrom(body: SwingBody, state: ArrayLike<number>, lead: number): number {
  const q = offset(body, state);
  return Math.sin(lead - Math.atan2(q[0], -q[1]));
}

/** From the trail shoulder at rest to the trail hand, and its rate. */
function handDistance(body: SwingBody, state: Float64Array): [number, number] {
  const { trailHand, trailShoulderAtRest } = planePoints(body, state);
  const x = trailHand[0] - trailShoulderAtRest[0];
  const y = trailHand[1] - trailShoulderAtRest[1];
  const distance = Math.hypot(x, y, body.trailArm.shoulderOffset_m);
  const rate = offsetRate(body, state);
  const arm = body.leadArm.length_m;
  const vx = rate[0] + arm * Math.cos(state[1]!) * state[4]!;
  const vy = rate[1] + arm * Math.sin(state[1]!) * state[4]!;
  return [distance, (x * vx + y * vy) / distance];
}

/** The distance from shoulder at rest to hand at which the elbow has a bend: by halving, since the bend falls with it. */
function distanceAt(body: SwingBody, flexion_rad: number): number {
  const bare = { ...body.trailArm, shoulderRadius_m: 0, shoulderOffset_m: 0, handGap_m: 0 };
  const reach = body.trailArm.upperArm_m + body.trailArm.elbowToGrip_m;
  let [low, high] = [Math.abs(body.trailArm.upperArm_m - body.trailArm.elbowToGrip_m), 2 * reach];
  for (let round = 0; round < 60; round++) {
    const middle = (low + high) / 2;
    const found = trailElbow(0, middle, bare, [0, 0, 0]);
    const bent =
      found.fault === null ? found.flexion_rad : found.fault === 'trail-hand-too-near' ? Math.PI : 0;
    if (bent > flexion_rad) low = middle;
    else high = middle;
  }
  return low;
}
