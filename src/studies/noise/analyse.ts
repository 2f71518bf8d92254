import { fQuantile, fUpperQuantile } from '../../numerics/index.ts';
import {
  minimalDetectableChange,
  type NestedNoise,
  type NestedValue,
  type NoiseWeights,
  nestedNoise,
  sdOf,
  varianceOf,
} from '../../stats/index.ts';
import type { SmallestChange, Verdict } from '../finding.ts';
import type { DetectableCell, NoiseTables } from '../noise-tables.ts';

/** A size of noise with its interval; in the metric's unit, never negative. */
export interface Size {
  readonly value: number;
  readonly interval: readonly [number, number] | null;
  readonly degreesOfFreedom: number | null;
}

export interface NoiseAnswer {
  readonly noise: NestedNoise;
  readonly level: number;
  /** Sessions and swings of a golfer at one time now. */
  readonly now: { readonly sessions: number; readonly swings: number };
  /** Whether the session part is in the sizes below; without it they are the least the noise can be. */
  readonly withSessions: boolean;
  readonly golferSd: Size | null;
  readonly sessionSd: Size | null;
  readonly swingSd: Size | null;
  /** Standard errors of measurement of one swing, of the mean of one session, of a golfer's mean as measured now. */
  readonly errorOfSwing: Size | null;
  readonly errorNow: Size | null;
  readonly detectableOneSwing: Size | null;
  readonly detectableNow: Size | null;
  /** Share of the variance of golfers' means that is true difference between golfers. */
  readonly reliability: Size | null;
}

/** What the nested values say of their noise, with intervals at `level`. */
export function analyseNoise(
  rows: Iterable<NestedValue>,
  now: { readonly sessions: number; readonly swings: number },
  level: number,
  shared?: (session: string) => string,
): NoiseAnswer {
  const noise = nestedNoise(rows, shared);
  const withSessions = noise.occasion !== null;
  let most = 0;
  for (const { value } of rows) most = Math.max(most, Math.abs(value));
  // What rounding leaves of values that do not differ is no measurement of noise.
  const nothing = (1e-9 * most) ** 2;
  const size = (weights: NoiseWeights): Size | null => {
    const variance = varianceOf(noise, weights, level);
    if (variance === null) return null;
    const interval = variance.interval[1] > nothing ? sdOf(variance).interval : null;
    return { value: sdOf(variance).value, interval, degreesOfFreedom: variance.degreesOfFreedom };
  };
  const errorOf = (sessions: number, swings: number) =>
    size({ unit: 0, occasion: withSessions ? 1 / sessions : 0, value: 1 / (sessions * swings) });
  const errorOfSwing = errorOf(1, 1);
  const errorNow = errorOf(now.sessions, now.swings);
  return {
    noise,
    level,
    now,
    withSessions,
    golferSd: size({ unit: 1, occasion: 0, value: 0 }),
    sessionSd: size({ unit: 0, occasion: 1, value: 0 }),
    swingSd: size({ unit: 0, occasion: 0, value: 1 }),
    errorOfSwing,
    errorNow,
    detectableOneSwing: detectable(errorOfSwing),
    detectableNow: detectable(errorNow),
    reliability: reliabilityOf(noise, level),
  };
}

/** The smallest change beyond noise, from a standard error of measurement (Weir 2005). */
function detectable(error: Size | null): Size | null {
  if (error === null) return null;
  const of = (value: number) => minimalDetectableChange(value);
  return {
    value: of(error.value),
    interval: error.interval === null ? null : [of(error.interval[0]), of(error.interval[1])],
    degreesOfFreedom: error.degreesOfFreedom,
  };
}

/**
 * Reliability of golfers' means as measured: 1 - 1 / F with F the mean square of golfers over that of sessions, each for
 * a golfer's mean, and the F interval, exact in balanced data (as ICC(k), McGraw and Wong 1996).
 */
function reliabilityOf({ unit, occasion, unitOccasionShare }: NestedNoise, level: number): Size | null {
  if (unit === null || occasion === null || !(unit.value > 0) || !(occasion.value > 0)) return null;
  const f = unit.value / (unitOccasionShare * occasion.value);
  const tail = (1 - level) / 2;
  const [n, d] = [unit.degreesOfFreedom, occasion.degreesOfFreedom];
  return {
    value: Math.max(0, 1 - 1 / f),
    interval: [Math.max(0, 1 - fUpperQuantile(tail, n, d) / f), Math.max(0, 1 - fQuantile(tail, n, d) / f)],
    degreesOfFreedom: null,
  };
}

const SESSIONS = [1, 2, 3, 4, 6, 8];
const SWINGS = [1, 3, 5, 8, 10, 15, 20, 30];

/** The smallest change that can be seen, by sessions and swings at each time; none where sessions are not told apart. */
export function detectableGrid(answer: NoiseAnswer, smallest: number | null): DetectableCell[] {
  const { noise, level } = answer;
  return SESSIONS.flatMap((sessions) =>
    SWINGS.flatMap((swings) => {
      const cell = detectableWith(noise, sessions, swings, level);
      return cell === null
        ? []
        : [{ sessions, swings, ...cell, visible: smallest === null ? null : cell.smallest <= smallest }];
    }),
  );
}

function detectableWith(
  noise: NestedNoise,
  sessions: number,
  swings: number,
  level: number,
): Pick<DetectableCell, 'smallest' | 'interval'> | null {
  const variance = varianceOf(
    noise,
    { unit: 0, occasion: 1 / sessions, value: 1 / (sessions * swings) },
    level,
  );
  if (variance === null || !(variance.interval[1] > 0)) return null;
  const sd = sdOf(variance);
  return {
    smallest: minimalDetectableChange(sd.value),
    interval: [minimalDetectableChange(sd.interval[0]), minimalDetectableChange(sd.interval[1])],
  };
}

/** Most sessions, and swings in a session, that anybody is advised to take. */
const MOST_SESSIONS = 12;
const MOST_SWINGS = 40;

/** The fewest swings in all, and of these the fewest sessions, from which a change of `d` is seen; null beyond reason. */
export function fewestFor(
  { noise, level }: NoiseAnswer,
  d: number,
): { readonly sessions: number; readonly swings: number } | null {
  let best: { sessions: number; swings: number } | null = null;
  for (let sessions = 1; sessions <= MOST_SESSIONS; sessions++)
    for (let swings = 1; swings <= MOST_SWINGS; swings++) {
      if (best !== null && sessions * swings >= best.sessions * best.swings) break;
      const cell = detectableWith(noise, sessions, swings, level);
      if (cell === null || cell.smallest > d) continue;
      best = { sessions, swings };
      break;
    }
  return best;
}

/** Where the detectable change stands against the one that matters. */
export type NoiseStanding =
  | 'seen'
  | 'hidden'
  | 'border'
  | 'taught'
  | 'swings-only'
  | 'no-interval'
  | 'no-smallest';

/**
 * `seen`: the whole interval of the detectable change lies below what matters; `hidden`: at or above it. Noise that holds
 * what golfers learned can only be shown to be small enough (`taught` otherwise), noise of swings alone only to be too large
 * (`swings-only`).
 */
export function noiseStanding(
  { detectableNow }: Pick<NoiseAnswer, 'detectableNow'>,
  smallest: Pick<SmallestChange, 'value'> | null,
  basis: NoiseTables['basis'],
): NoiseStanding {
  const interval = detectableNow?.interval ?? null;
  if (interval === null) return 'no-interval';
  if (smallest === null) return 'no-smallest';
  if (interval[1] < smallest.value) return basis === 'one-session' ? 'swings-only' : 'seen';
  if (basis === 'all') return 'taught';
  if (interval[0] >= smallest.value) return 'hidden';
  return basis === 'one-session' ? 'swings-only' : 'border';
}

/** The noise is large enough to matter, too small to, or it cannot be told. */
export function noiseVerdict(standing: NoiseStanding): Verdict {
  if (standing === 'hidden') return 'meaningful';
  return standing === 'seen' ? 'too-small-to-matter' : 'cannot-tell';
}
