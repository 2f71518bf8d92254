import type { Stream } from '../../numerics/index.ts';

/**
 * The ways in which a series of occasions can be cut into phases, each of at least so many occasions. A way is given
 * by the starts of the second and later phases, as positions from 0.
 *
 * Source: Edgington and Onghena (2007), Randomization Tests, 4th ed., chapter 11; Bulte and Onghena (2008), Behav Res
 * Methods 40:467-478.
 */

/**
 * How many ways there are: C(N - k m + k - 1, k - 1) for N occasions, k phases of at least m each; 0 where they do not
 * fit. Exact up to 2^53.
 *
 * @example countPhaseAssignments(20, 2, 5) // 11
 * @example countPhaseAssignments(24, 4, 4) // 165
 */
export function countPhaseAssignments(occasions: number, phases: number, least: number): number {
  const spare = occasions - phases * least;
  if (spare < 0) return 0;
  let ways = 1;
  for (let i = 1; i < phases; i++) ways = Math.round((ways * (spare + i)) / i);
  return ways;
}

/**
 * Calls `visit` with every way, in order; never where the phases do not fit. The array is the same each time and must not
 * be kept.
 *
 * @example
 * const ways: number[][] = [];
 * eachPhaseAssignment(7, 3, 2, (starts) => ways.push([...starts]));
 * ways // [[2, 4], [2, 5], [3, 5]]
 */
export function eachPhaseAssignment(
  occasions: number,
  phases: number,
  least: number,
  visit: (starts: readonly number[]) => void,
): void {
  const starts = new Array<number>(phases - 1);
  const place = (phase: number, from: number): void => {
    if (phase === phases - 1) {
      visit(starts);
      return;
    }
    const last = occasions - (phases - 1 - phase) * least;
    for (let start = from + least; start <= last; start++) {
      starts[phase] = start;
      place(phase + 1, start);
    }
  };
  if (occasions >= phases * least) place(0, 0);
}

/**
 * One way, each equally likely: which of the spare places and cuts in a row are the cuts. The phases must fit, as
 * `countPhaseAssignments` tells.
 *
 * @example drawPhaseAssignment(24, 4, 6, createStream(1)) // [6, 12, 18]: the only way
 * @example
 * const stream = createStream(1);
 * const starts = Array.from({ length: 1000 }, () => drawPhaseAssignment(12, 2, 5, stream)[0]);
 * [...new Set(starts)].sort() // [5, 6, 7]
 */
export function drawPhaseAssignment(
  occasions: number,
  phases: number,
  least: number,
  stream: Stream,
): number[] {
  const cuts = phases - 1;
  const places = occasions - phases * least + cuts;
  const chosen = new Set<number>();
  // Floyd's algorithm: every subset of that size is equally likely.
  for (let top = places - cuts; top < places; top++) {
    const at = stream.integer(0, top);
    chosen.add(chosen.has(at) ? top : at);
  }
  return [...chosen].sort((a, b) => a - b).map((at, i) => at - i + (i + 1) * least);
}

/**
 * The fewest occasions with which `phases` of at least `least` each have at least `ways` ways.
 *
 * @example occasionsForAssignments(20, 2, 5) // 29, which has 20 ways
 */
export function occasionsForAssignments(ways: number, phases: number, least: number): number {
  let occasions = phases * least;
  while (countPhaseAssignments(occasions, phases, least) < ways && phases > 1) occasions += 1;
  return occasions;
}
