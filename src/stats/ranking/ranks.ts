import { quantileOfSorted } from '../../numerics/index.ts';

/** What draws of all groups' effects say of their order. Rank 1 is the largest effect. */
export interface GroupRank {
  readonly group: string;
  /** Mean effect over the draws, and its interval. */
  readonly effect: number;
  readonly interval: readonly [number, number];
  /** Median rank, and the interval of the rank. */
  readonly rank: number;
  readonly rankInterval: readonly [number, number];
  /** Share of draws in which the group is among the first third (at least one place). */
  readonly topThird: number;
}

/**
 * Ranks from joint draws: each draw is ranked whole, so that the order is that of one possible world (Goldstein and
 * Spiegelhalter 1996). Intervals are from quantiles of the draws; those of ranks are widened to whole ranks.
 *
 * @param groups names, one for each column of the draws
 * @param effects one row for each draw
 * @param level such as 0.95
 * @param sign 1 where more is better, -1 where less is better: rank 1 is the best
 * @throws Error when there is no draw, or a draw has another number of groups
 * @example
 * const draws = [Float64Array.of(3, 2, 1), Float64Array.of(2, 3, 1), Float64Array.of(3, 1, 2)];
 * groupRanks(['I1', 'I2', 'I3'], draws, 0.95)[0] // { group: 'I1', effect: 8/3, rank: 1, rankInterval: [1, 2], topThird: 2/3, ... }
 */
export function groupRanks(
  groups: readonly string[],
  effects: readonly Float64Array[],
  level: number,
  sign: 1 | -1 = 1,
): GroupRank[] {
  if (effects.length === 0 || effects.some((draw) => draw.length !== groups.length))
    throw new Error('groupRanks: need at least one draw, each with one effect for each group');
  const top = Math.max(1, Math.floor(groups.length / 3));
  const ranks = groups.map(() => new Float64Array(effects.length));
  effects.forEach((draw, k) => {
    const order = Array.from(draw.keys()).sort((a, b) => sign * (draw[b]! - draw[a]!));
    order.forEach((group, place) => {
      ranks[group]![k] = place + 1;
    });
  });
  const tail = (1 - level) / 2;
  return groups.map((group, j) => {
    const own = Float64Array.from(effects, (draw) => draw[j]!).sort();
    const places = ranks[j]!.toSorted();
    return {
      group,
      effect: own.reduce((sum, value) => sum + value, 0) / own.length,
      interval: [quantileOfSorted(own, tail), quantileOfSorted(own, 1 - tail)],
      rank: Math.round(quantileOfSorted(places, 0.5)),
      rankInterval: [
        Math.floor(quantileOfSorted(places, tail)),
        Math.ceil(quantileOfSorted(places, 1 - tail)),
      ],
      topThird: ranks[j]!.filter((place) => place <= top).length / effects.length,
    };
  });
}

/**
 * The share of the draws in which one group is ahead of another; ties are not ahead. NaN without draws.
 *
 * @param effects one row for each draw, one effect for each group
 * @param first place of the group that is to be ahead, from 0, and `second` of the other
 * @param sign 1 where more is better, -1 where less is better
 * @example
 * const draws = [[1, 2], [3, 1], [5, 4], [2, 2]].map((draw) => Float64Array.from(draw));
 * chanceAhead(draws, 0, 1) // 0.5
 * chanceAhead(draws, 1, 0) // 0.25: the tie is neither's
 */
export function chanceAhead(
  effects: readonly Float64Array[],
  first: number,
  second: number,
  sign: 1 | -1 = 1,
): number {
  let ahead = 0;
  for (const draw of effects) if (sign * (draw[first]! - draw[second]!) > 0) ahead += 1;
  return ahead / effects.length;
}
