import { normalQuantile } from '../../numerics/index.ts';
import { detectableEffect } from './chances.ts';
import { type DesignDraws, type DrawOptions, drawDesign } from './draw-design.ts';
import type { Analysis, DesignPoint, Spread } from './planned-design.ts';

/** What a study must be able to show. */
export interface Goal {
  /** The true effect that is assumed, as a size in the good direction. */
  readonly effect: number;
  /** The smallest change that matters: the whole interval must lie beyond it. */
  readonly smallest: number;
  readonly direction: 1 | -1;
  /** With which chance. */
  readonly chance: number;
}

/** No trial in this field is larger; beyond it the answer is that the design will not do. */
export const MOST_GOLFERS = 600;
/** Fewer leave too little to tell noise from golfers. */
export const FEWEST_GOLFERS = 8;

export interface FoundSize {
  /** The fewest golfers in all, and the Monte Carlo interval of that number. */
  readonly golfers: number;
  readonly interval: readonly [number, number];
  /** The draws at that size. */
  readonly draws: DesignDraws;
}

/**
 * The fewest golfers (an even number) with whom the goal is reached, by simulation: what is detectable beyond the
 * smallest change falls with the root of the number of golfers, so a size is drawn, the next one read off it, until two
 * neighbours bracket the answer. A size found for a design like it gives a better start. Null where the effect is no larger than the smallest change, or `MOST_GOLFERS` do not do.
 */
export async function findSize(
  point: DesignPoint,
  spread: Spread,
  analysis: Analysis,
  goal: Goal,
  options: DrawOptions,
  like: FoundSize | null = null,
): Promise<FoundSize | null> {
  const room = goal.effect - goal.smallest;
  if (!(room > 0)) return null;
  const known = new Map<number, { draws: DesignDraws; excess: number }>();
  const at = async (golfers: number) => {
    const before = known.get(golfers);
    if (before !== undefined) return before;
    const draws = await drawDesign({ ...point, golfers }, spread, analysis, options);
    const detectable = detectableEffect(draws, goal.chance, goal.smallest, goal.direction);
    const made = { draws, excess: (detectable?.value ?? Number.POSITIVE_INFINITY) - goal.smallest };
    known.set(golfers, made);
    return made;
  };
  let low = FEWEST_GOLFERS - 2;
  let high = MOST_GOLFERS + 2;
  const guess = (of: DesignPoint) => firstGuess(of, spread, analysis, goal);
  let next = like === null ? guess(point) : within((guess(point) * like.golfers) / guess(like.draws.point));
  while (high - low > 2) {
    const { excess } = await at(next);
    if (excess <= room) high = next;
    else low = next;
    const wished = Number.isFinite(excess) ? even(next * (excess / room) ** 2) : 2 * next;
    next = Math.min(high - 2, Math.max(low + 2, wished));
  }
  if (high > MOST_GOLFERS) return null;
  const { draws } = await at(high);
  const { interval } = detectableEffect(draws, goal.chance, goal.smallest, goal.direction)!;
  const size = (detectable: number) => even(high * ((detectable - goal.smallest) / room) ** 2);
  return { golfers: high, interval: [size(interval[0]), size(interval[1])], draws };
}

/** A first size by the normal approximation of the variance of the effect. */
function firstGuess(point: DesignPoint, spread: Spread, analysis: Analysis, goal: Goal): number {
  const { golferSd, changeSd, responseSd, sessionSd, swingSd } = spread;
  const noise = (sessionSd ** 2 + swingSd ** 2 / point.swings) / point.sessions;
  const after = golferSd ** 2 + changeSd ** 2 + responseSd ** 2 / 2 + noise;
  const alike = golferSd ** 4 / ((golferSd ** 2 + noise) * after || 1);
  const change = changeSd ** 2 + responseSd ** 2 + 2 * noise;
  const perGolfer = {
    parallel: 4 * after * (1 - alike),
    'after-only': 4 * after,
    'before-after': change,
    crossover: change,
  }[point.kind];
  const z = normalQuantile((1 + analysis.level) / 2) + normalQuantile(goal.chance);
  const guess = (perGolfer / (1 - point.leaving)) * (z / (goal.effect - goal.smallest)) ** 2;
  return within(guess);
}

function within(golfers: number): number {
  return Math.min(MOST_GOLFERS, Math.max(FEWEST_GOLFERS, even(golfers)));
}

function even(value: number): number {
  return Math.min(10 * MOST_GOLFERS, 2 * Math.ceil(value / 2));
}
