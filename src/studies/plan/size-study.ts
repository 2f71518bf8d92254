import type { PlanCell } from '../plan-tables.ts';
import { type Chance, chanceOf, chanceOfSeeing, detectableEffect } from './chances.ts';
import { type DesignDraws, type DrawOptions, drawDesign } from './draw-design.ts';
import { FEWEST_GOLFERS, type FoundSize, findSize, type Goal, MOST_GOLFERS } from './find-size.ts';
import type { DesignPoint } from './planned-design.ts';
import type { Settled } from './settle.ts';

/** Every number of a plan's finding; nothing is in words yet. */
export interface Sizes {
  readonly goal: Goal;
  /** The fewest golfers who do; null where none do. */
  readonly found: FoundSize | null;
  /** The same with one session more in each phase. */
  readonly moreSessions: FoundSize | null;
  /** The size that is described: the one settled, else the fewest who do, else the largest of the grid. */
  readonly chosen: DesignDraws;
  readonly meaningful: Chance;
  readonly tooSmall: Chance;
  /** Chance of `meaningful` or `opposite` where there is no effect. */
  readonly wrong: Chance;
  readonly seen: Chance;
  readonly detectable: Chance | null;
  readonly detectableAtAll: Chance | null;
  /** Half the width of the interval in the middle study; null where no fit gave one. */
  readonly half: number | null;
  readonly grid: readonly PlanCell[];
  /** By swings in a session, the golfers needed, read off the grid; null where none do. */
  readonly bySwings: readonly { readonly swings: number; readonly golfers: number | null }[];
}

const SHARES = [0.5, 0.75, 1, 1.5] as const;

/** Works out how many golfers are needed, and what a grid of designs around that number would find. */
export async function sizeStudy(settled: Settled, progress: (step: string) => void): Promise<Sizes> {
  const { point, spread, analysis, effect, smallest, direction, chance, draws, seed, workers } = settled;
  const goal: Goal = { effect: direction * effect, smallest: smallest.value, direction, chance };
  const options: DrawOptions = { draws, seed, workers };
  const whole = { ...point, golfers: FEWEST_GOLFERS };
  progress('Looking for the number of golfers');
  const found = await findSize(whole, spread, analysis, goal, options);
  progress('Looking for it with one session more');
  const more = { ...whole, sessions: point.sessions + 1 };
  const moreSessions = await findSize(more, spread, analysis, goal, options, found);
  const draw = (golfers: number, swings: number) =>
    drawDesign({ ...point, golfers, swings }, spread, analysis, options);
  const grid: { cell: PlanCell; draws: DesignDraws }[] = [];
  for (const golfers of golfersOfGrid(settled.golfers ?? found?.golfers ?? 200))
    for (const swings of swingsOfGrid(point.swings)) {
      progress(`Simulating ${golfers} golfers with ${swings} swings`);
      const drawn = await draw(golfers, swings);
      grid.push({ cell: cellOf(drawn, settled, goal), draws: drawn });
    }
  const chosen =
    settled.golfers === null
      ? (found?.draws ?? grid.at(-1)!.draws)
      : await draw(settled.golfers, point.swings);
  return {
    goal,
    found,
    moreSessions,
    chosen,
    meaningful: chanceOf(chosen, effect, smallest, ['meaningful']),
    tooSmall: chanceOf(chosen, 0, smallest, ['too-small-to-matter']),
    wrong: chanceOf(chosen, 0, smallest, ['meaningful', 'opposite']),
    seen: chanceOfSeeing(chosen, effect),
    detectable: detectableEffect(chosen, chance, smallest.value, direction),
    detectableAtAll: detectableEffect(chosen, chance, 0, direction),
    half: median(chosen.half),
    grid: grid.map(({ cell }) => cell),
    bySwings: swingsOfGrid(point.swings).map((swings) => ({
      swings,
      golfers: needed(
        grid.filter(({ cell }) => cell.swings === swings).map(({ cell }) => cell),
        goal,
      ),
    })),
  };
}

/** Four even numbers around the one that is asked about, in order. */
function golfersOfGrid(middle: number): number[] {
  const even = (value: number) => Math.min(MOST_GOLFERS, Math.max(FEWEST_GOLFERS, 2 * Math.round(value / 2)));
  const sizes = SHARES.map((share) => even(share * middle));
  // Close to the fewest, neighbours would fall together.
  for (let k = 1; k < sizes.length; k++) sizes[k] = Math.max(sizes[k]!, sizes[k - 1]! + 2);
  return sizes;
}

function swingsOfGrid(middle: number): number[] {
  const fewer = Math.max(2, Math.round(middle / 2));
  return [...new Set([fewer, Math.max(middle, fewer + 1), Math.max(2 * middle, fewer + 2)])];
}

function cellOf(drawn: DesignDraws, { effect, smallest }: Settled, goal: Goal): PlanCell {
  const meaningful = chanceOf(drawn, effect, smallest, ['meaningful']);
  const tooSmall = chanceOf(drawn, 0, smallest, ['too-small-to-matter']);
  const { golfers, sessions, swings }: DesignPoint = drawn.point;
  return {
    golfers,
    sessions,
    swings,
    meaningful: meaningful.value,
    meaningfulInterval: meaningful.interval,
    tooSmall: tooSmall.value,
    tooSmallInterval: tooSmall.interval,
    detectable: detectableEffect(drawn, goal.chance, goal.smallest, goal.direction)?.value ?? null,
    failed: drawn.failed,
  };
}

/** What is detectable beyond the smallest change goes with one over the root of the golfers; the nearest size tells. */
function needed(cells: readonly PlanCell[], { effect, smallest }: Goal): number | null {
  const room = effect - smallest;
  if (!(room > 0)) return null;
  const sizes = cells.flatMap(({ golfers, detectable }) =>
    detectable === null ? [] : [golfers * ((detectable - smallest) / room) ** 2],
  );
  const near = cells
    .filter(({ detectable }) => detectable !== null)
    .map(({ golfers }, k) => ({ size: sizes[k]!, apart: Math.abs(Math.log(golfers / sizes[k]!)) }))
    .sort((a, b) => a.apart - b.apart)[0];
  const golfers = near === undefined ? Number.POSITIVE_INFINITY : 2 * Math.ceil(near.size / 2);
  return golfers > MOST_GOLFERS ? null : Math.max(FEWEST_GOLFERS, golfers);
}

function median(values: Float64Array): number | null {
  const sorted = values.filter((value) => !Number.isNaN(value)).sort();
  return sorted[Math.floor(sorted.length / 2)] ?? null;
}
