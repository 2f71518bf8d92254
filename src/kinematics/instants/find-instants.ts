import { dot, norm, scale, subtract } from '../geometry/vector.ts';
import type { MarkerState, Motion } from '../motion.ts';
import { stateAt } from '../motion.ts';
import type { Series } from '../series.ts';
import { lastFall, refineExtremum } from './extremum.ts';
import { type Found, type Instant, withinFrame } from './instant.ts';

/** Which definition of an instant is used, where there is a choice. */
export interface InstantChoice {
  readonly top: 'club reversal' | 'lead arm reversal' | 'pelvis reversal';
  readonly delivery: 'shaft horizontal' | 'hands at hip height';
}

export const DEFAULT_CHOICE: InstantChoice = { top: 'club reversal', delivery: 'shaft horizontal' };

const EXTENSION_SEARCH_S = 0.25;

/** The top, between takeaway and impact. */
export function findTop(
  motion: Motion,
  series: Series,
  takeawayFrame: number,
  choice: InstantChoice['top'],
): Found {
  const { split, rateHz } = motion;
  const from = Math.ceil(takeawayFrame);
  const to = split ?? motion.frames - 1;
  const middle = middleOfTurn(series.shaftSpeed, from, to);
  if (!middle) return { missing: 'grip and club head are not both seen from takeaway to impact' };
  if (choice === 'pelvis reversal') return smallest(series.hipTurn, from, to, rateHz, 'both hips');
  const speed = choice === 'club reversal' ? series.shaftSpeed : series.armSpeed;
  const squares = speed.map((v) => v * v);
  const i = indexOfSmallest(squares, middle.from, middle.to);
  if (i < 0) return { missing: 'lead shoulder and lead wrist are not both seen about the top' };
  const [a, b] = choice === 'club reversal' ? ['grip', 'club_head'] : ['lead_shoulder', 'lead_wrist'];
  return { instant: reversal(motion, a!, b!, refineExtremum(squares, i)) };
}

/** Half the time over which the turning acceleration at a reversal is taken, s. */
const REVERSAL_REACH_S = 0.04;

/**
 * The moment at which a line turns round, near its slowest frame: where its rate along the direction in which it
 * accelerates passes zero. That is where its speed is least, found without the noise that the square of a
 * speed adds. Its standard deviation is the noise of the rate over the slope of the rate; where no passing is
 * found, that of a moment anywhere in the span that was looked at.
 */
function reversal(motion: Motion, a: string, b: string, slowest: number): Instant {
  const { rateHz } = motion;
  const reach = REVERSAL_REACH_S * rateHz;
  const anywhere: Instant = { frame: slowest, sd_s: REVERSAL_REACH_S / Math.sqrt(12) };
  const rateAt = (at: number) => {
    const [from, to] = [stateAt(motion, a, at), stateAt(motion, b, at)];
    if (!from || !to) return null;
    return {
      rate: subtract(to.velocity, from.velocity),
      variance: from.velocityVariance + to.velocityVariance,
    };
  };
  const [before, after] = [rateAt(slowest - reach), rateAt(slowest + reach)];
  if (!before || !after) return anywhere;
  const gained = subtract(after.rate, before.rate);
  const direction = scale(gained, 1 / norm(gained));
  const along = (at: number): number => {
    const state = rateAt(at);
    return state ? dot(state.rate, direction) : Number.NaN;
  };
  let [low, high] = [slowest - reach / 2, slowest + reach / 2];
  let [atLow, atHigh] = [along(low), along(high)];
  if (!(atLow < 0 && atHigh > 0)) return anywhere;
  let frame = slowest;
  for (let i = 0; i < 30 && high - low > 1e-12; i++) {
    // Straight-line guess, and the middle every third time so that both ends close in.
    const next = i % 3 === 2 ? (low + high) / 2 : low - (atLow * (high - low)) / (atHigh - atLow);
    const value = along(next);
    const moved = Math.abs(next - frame);
    frame = next;
    if (value < 0) [low, atLow] = [next, value];
    else [high, atHigh] = [next, value];
    if (moved < 1e-12 || value === 0) break;
  }
  // The rate changes faster the further from the reversal: slopes over two spans give the one there.
  const slopeOver = (by: number): number => (along(frame + by) - along(frame - by)) / (2 * by);
  const slope = (4 * slopeOver(reach) - slopeOver(2 * reach)) / 3;
  const { variance } = rateAt(frame)!;
  // The slope is noisy itself (its four readings count as independent), which makes the ratio vary more.
  const slopeVariance = ((variance / (reach * reach)) * (16 / 2 + 1 / 8)) / 9;
  const sd_s = Math.sqrt(variance * (1 + (3 * slopeVariance) / (slope * slope))) / (slope * rateHz);
  return slope > 0 ? { frame, sd_s } : { ...anywhere, frame };
}

/** Frames in which a line has gone through the middle half of its whole turn. */
function middleOfTurn(speed: Float64Array, from: number, to: number): { from: number; to: number } | null {
  let whole = 0;
  for (let i = from; i <= to; i++) whole += Number.isNaN(speed[i]!) ? 0 : speed[i]!;
  if (!(whole > 0)) return null;
  let turned = 0;
  let start = -1;
  for (let i = from; i <= to; i++) {
    turned += Number.isNaN(speed[i]!) ? 0 : speed[i]!;
    if (start < 0 && turned >= whole / 4) start = i;
    if (turned >= (3 * whole) / 4) return { from: start, to: i };
  }
  return null;
}

/** The lead wrist passing the height of the lead shoulder, downward, after the top. */
export function findLeadArmParallel(motion: Motion, series: Series, topFrame: number): Found {
  const near = lastFall(series.armRise, Math.floor(topFrame), motion.split ?? motion.frames - 1);
  if (near === null || near < topFrame)
    return { missing: 'the lead arm is not seen coming down through level after the top' };
  return crossing(motion, ['lead_wrist'], ['lead_shoulder'], near);
}

/** The shaft level with the ground, or the hands at the height of the hips, on the way down. */
export function findDelivery(
  motion: Motion,
  series: Series,
  topFrame: number,
  choice: InstantChoice['delivery'],
): Found {
  const rise = choice === 'shaft horizontal' ? series.shaftRise : series.gripRise;
  const near = lastFall(rise, Math.floor(topFrame), motion.split ?? motion.frames - 1);
  if (near === null || near < topFrame)
    return {
      missing:
        choice === 'shaft horizontal'
          ? 'the shaft is not seen coming down through level after the top'
          : 'the grip is not seen coming down past the hips after the top',
    };
  const [a, b] = DELIVERY_LANDMARKS[choice];
  return crossing(motion, a, b, near);
}

export const DELIVERY_LANDMARKS = {
  'shaft horizontal': [['club_head'], ['grip']],
  'hands at hip height': [['grip'], ['lead_hip', 'trail_hip']],
} as const;

/** The moment between frames at which the mean height of some landmarks passes that of others. */
function crossing(motion: Motion, above: readonly string[], below: readonly string[], near: number): Found {
  let frame = near;
  let variance = 0;
  for (let i = 0; i < 6; i++) {
    const a = above.map((name) => stateAt(motion, name, frame));
    const b = below.map((name) => stateAt(motion, name, frame));
    if ([...a, ...b].includes(null)) return { instant: { frame: near, sd_s: withinFrame(motion.rateHz) } };
    const height = meanOf(a, (s) => s.position[1]) - meanOf(b, (s) => s.position[1]);
    const fall = meanOf(a, (s) => s.velocity[1]) - meanOf(b, (s) => s.velocity[1]);
    variance =
      (meanOf(a, (s) => s.positionVariance) / a.length + meanOf(b, (s) => s.positionVariance) / b.length) /
      (fall * fall);
    frame -= (height / fall) * motion.rateHz;
    if (!(Math.abs(frame - near) < 2)) return { instant: { frame: near, sd_s: withinFrame(motion.rateHz) } };
  }
  return { instant: { frame, sd_s: Math.sqrt(variance) } };
}

function meanOf(states: readonly (MarkerState | null)[], pick: (s: MarkerState) => number): number {
  return states.reduce((sum, s) => sum + pick(s!), 0) / states.length;
}

/** The least trail elbow flexion in the quarter of a second after impact. */
export function findFullExtension(motion: Motion, series: Series): Found {
  const { split, rateHz, frames } = motion;
  if (split === null) return { missing: 'impact is missing' };
  const to = Math.min(frames - 1, split + Math.round(EXTENSION_SEARCH_S * rateHz));
  const found = smallest(series.flexion, split + 1, to, rateHz, 'trail shoulder, elbow and wrist');
  if ('missing' in found) return found;
  if (Math.round(found.instant.frame) >= to)
    return { missing: 'the trail elbow is still straightening where the search or the capture ends' };
  return found;
}

function smallest(values: Float64Array, from: number, to: number, rateHz: number, what: string): Found {
  const i = indexOfSmallest(values, from, to);
  if (i < 0) return { missing: `${what} are not seen` };
  return { instant: { frame: refineExtremum(values, i), sd_s: withinFrame(rateHz) } };
}

function indexOfSmallest(values: Float64Array, from: number, to: number): number {
  let best = -1;
  for (let i = Math.max(0, from); i <= Math.min(values.length - 1, to); i++)
    if (!Number.isNaN(values[i]!) && (best < 0 || values[i]! < values[best]!)) best = i;
  return best;
}
