import type { Stream } from '../../numerics/index.ts';
import { arrangements, possibleArrangements } from './arrangements.ts';
import { type CurveScores, scoresInto } from './question.ts';

/** The largest |t| over a curve under every arrangement (or a sample of them) that is alike when nothing differs. */
export interface MaximumDistribution {
  /** Arrangements used, the observed one among them. */
  readonly count: number;
  readonly exact: boolean;
  /** All there are. */
  readonly possible: number;
  /** The smallest p value that any curve can get here. */
  readonly smallestP: number;
  /** Largest |t| of each arrangement, the largest first. */
  readonly maxima: Float64Array;
}

/** How many arrangements a permutation test of the maximum goes through. */
export interface MaximumOptions {
  /** Up to so many arrangements are gone through one by one; beyond, so many are drawn. Default 10,000. */
  readonly most?: number;
  /** Needed where they are drawn. */
  readonly stream?: Stream;
}

/** Two values of r^2 nearer than this, relatively, are equal: the sums differ by the order of addition alone. */
const EQUAL = 1e-10;

/**
 * The distribution of the largest |t| over the curve when rows are exchangeable: signs for one sample or pairs (curves
 * symmetric about their mean), rows among groups or predictor values otherwise. A p value from it holds for every node
 * at once, whichever nodes differ (Nichols and Holmes 2002, Hum Brain Mapp 15:1; Westfall and Young 1993). The observed
 * arrangement counts as one of them, so that a p value is never 0 (Phipson and Smyth 2010, Stat Appl Genet Mol Biol 9:39).
 *
 * @throws RangeError when there are more arrangements than `most` and no stream
 * @example
 * const six = curvesFrom([[1], [2], [3], [4], [5], [6]]);
 * maximumDistribution(curveScores(six, { kind: 'one-sample' })).smallestP // 1/32: 2 of 64 patterns of signs
 */
export function maximumDistribution(scores: CurveScores, options: MaximumOptions = {}): MaximumDistribution {
  const { most = 10_000, stream = null } = options;
  const all = arrangements(scores, most, stream);
  const { nodes, squares, sumOfSquaredWeights, degreesOfFreedom } = scores;
  const scale = squares.map((square) => (square > 0 ? 1 / (square * sumOfSquaredWeights) : 0));
  const sums = new Float64Array(nodes);
  const maxima = new Float64Array(all.count);
  let at = 0;
  all.forEach((weights) => {
    scoresInto(scores, weights, sums);
    let largest = 0;
    for (let q = 0; q < nodes; q++) {
      const share = sums[q]! * sums[q]! * scale[q]!;
      if (share > largest) largest = share;
    }
    maxima[at++] = largest;
  });
  maxima.sort().reverse();
  // What differs by rounding alone is one value, so that ties count as ties.
  for (let k = 1; k < maxima.length; k++)
    if (maxima[k - 1]! - maxima[k]! <= EQUAL * maxima[k - 1]!) maxima[k] = maxima[k - 1]!;
  const top = maxima.lastIndexOf(maxima[0]!) + 1;
  return {
    count: all.count,
    exact: all.exact,
    possible: possibleArrangements(scores),
    smallestP: all.exact ? top / all.count : 1 / all.count,
    maxima: maxima.map((share) => Math.sqrt((degreesOfFreedom * share) / Math.max(0, 1 - share))),
  };
}

/** A p value with the standard error that drawing gave it; 0 where every arrangement was gone through. */
export interface PermutationP {
  readonly value: number;
  readonly monteCarloError: number;
}

/**
 * Share of arrangements whose largest |t| reaches |t|: the p value at a node, holding for all nodes at once. Never 0.
 *
 * @example
 * const six = maximumDistribution(curveScores(curvesFrom([[1], [2], [3], [4], [5], [6]]), { kind: 'one-sample' }));
 * maximumP(six, 4.5825) // { value: 1/32, monteCarloError: 0 }: t is sqrt(21), reached by 2 of 64 patterns of signs
 */
export function maximumP(distribution: MaximumDistribution, t: number): PermutationP {
  const { maxima, count, exact } = distribution;
  const least = Math.abs(t) * (1 - EQUAL);
  let [low, high] = [0, maxima.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (maxima[middle]! >= least) low = middle + 1;
    else high = middle;
  }
  const value = Math.max(1, low) / count;
  return { value, monteCarloError: exact ? 0 : Math.sqrt((value * (1 - value)) / count) };
}

/**
 * |t| above this has p at most 1 - level; null where no |t| can have, because there are too few arrangements.
 *
 * @throws RangeError when the level is not between 0 and 1
 * @example
 * const six = maximumDistribution(curveScores(curvesFrom([[1], [2], [3], [4], [5], [6]]), { kind: 'one-sample' }));
 * maximumCritical(six, 0.95) // 3.1236: 1 with the other sign, r^2 = 19^2 / (6 x 91)
 * maximumCritical(six, 0.99) // null
 */
export function maximumCritical(distribution: MaximumDistribution, level: number): number | null {
  if (!(level > 0 && level < 1))
    throw new RangeError(`maximumCritical: the level must be between 0 and 1, such as 0.95; found ${level}`);
  const { maxima, count } = distribution;
  // 1 - 0.95 is a little more than 0.05: 20 arrangements must still give one.
  const allowed = Math.floor((1 - level) * count + 1e-9);
  const critical = maxima[allowed];
  return critical === undefined || critical >= maxima[0]! ? null : critical;
}
