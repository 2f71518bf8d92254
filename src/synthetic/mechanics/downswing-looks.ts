import type { Motion } from '../../numerics/index.ts';
import { elbowOf, handSpeed, lagOf } from './plane-motion.ts';
import type { SwingBody } from './swing-body.ts';

/** What a downswing is looked at for between top and impact, and its place in a row of looks. */
const QUANTITIES = [
  'lag_deg',
  'elbow_deg',
  'straightening_deg_s',
  'wrist_deg_s',
  'club_deg_s',
  'hand_m_s',
] as const;
export type LookedAt = (typeof QUANTITIES)[number];

const RAD = Math.PI / 180;
/** Finest spacing of looks; a peak that comes and goes within it would be missed, none of these does. */
const SPACING_S = 0.005;
/** Spacings of the parabolas that close in on a peak. */
const CLOSER = [0.1, 0.01] as const;

/** A downswing between top and impact, looked at in even steps; peaks and passages are then found between the looks. */
export interface Looks {
  /** The largest value from top to impact. */
  readonly most: (quantity: LookedAt) => number;
  /** When the quantity first falls below a level, from a time on; null where it does not before impact. */
  readonly firstBelow: (quantity: LookedAt, level: number, from: number) => number | null;
  readonly at: (quantity: LookedAt, time: number) => number;
}

export function lookAtDownswing(body: SwingBody, motion: Motion, top_s: number, impact_s: number): Looks {
  const count = Math.max(1, Math.ceil((impact_s - top_s) / SPACING_S));
  const step = (impact_s - top_s) / count;
  const state = new Float64Array(motion.end.length);
  const values = QUANTITIES.map(() => new Float64Array(count + 1));
  for (let k = 0; k <= count; k++) {
    motion.at(k === count ? impact_s : top_s + k * step, state);
    const bend = elbowOf(body, state);
    values[0]![k] = lagOf(state);
    values[1]![k] = bend.flexion;
    values[2]![k] = -bend.speed;
    values[3]![k] = (state[5]! - state[4]!) / RAD;
    values[4]![k] = state[5]! / RAD;
    values[5]![k] = handSpeed(body, state);
  }

  const at = (quantity: LookedAt, time: number): number => {
    motion.at(time, state);
    switch (quantity) {
      case 'lag_deg':
        return lagOf(state);
      case 'elbow_deg':
        return elbowOf(body, state).flexion;
      case 'straightening_deg_s':
        return -elbowOf(body, state).speed;
      case 'wrist_deg_s':
        return (state[5]! - state[4]!) / RAD;
      case 'club_deg_s':
        return state[5]! / RAD;
      case 'hand_m_s':
        return handSpeed(body, state);
    }
  };
  const row = (quantity: LookedAt): Float64Array => values[QUANTITIES.indexOf(quantity)]!;

  return {
    at,
    most: (quantity) => {
      const looks = row(quantity);
      let top = 0;
      for (let k = 1; k <= count; k++) if (looks[k]! > looks[top]!) top = k;
      if (top === 0 || top === count) return looks[top]!;
      let peak = top_s + step * (top + vertex(looks[top - 1]!, looks[top]!, looks[top + 1]!));
      for (const share of CLOSER) {
        const width = Math.min(share * step, peak - top_s, impact_s - peak);
        if (!(width > 0)) break;
        peak += width * vertex(at(quantity, peak - width), at(quantity, peak), at(quantity, peak + width));
        peak = Math.min(impact_s, Math.max(top_s, peak));
      }
      return Math.max(looks[top]!, at(quantity, peak));
    },
    firstBelow: (quantity, level, from) => {
      const looks = row(quantity);
      for (let k = Math.max(1, Math.ceil((from - top_s) / step)); k <= count; k++) {
        if (looks[k]! >= level) continue;
        return passage(
          (time) => at(quantity, time) - level,
          Math.max(from, top_s + (k - 1) * step),
          Math.min(impact_s, top_s + k * step),
        );
      }
      return null;
    },
  };
}

/** Where the parabola through three even values peaks, in spacings from the middle one; within one spacing. */
function vertex(before: number, here: number, after: number): number {
  const curve = before - 2 * here + after;
  return curve < 0 ? Math.min(1, Math.max(-1, (before - after) / (2 * curve))) : 0;
}

/** Where a function falls through zero within an interval, by halving to a nanosecond. */
function passage(f: (time: number) => number, low: number, high: number): number {
  let [a, b] = [low, high];
  while (b - a > 1e-9) {
    const middle = (a + b) / 2;
    if (f(middle) < 0) b = middle;
    else a = middle;
  }
  return b;
}
