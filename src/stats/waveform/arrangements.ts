import type { Stream } from '../../numerics/index.ts';
import type { CurveScores } from './question.ts';

/** Ways of rearranging the weights that are alike when nothing differs; the first is the one observed. */
export interface Arrangements {
  readonly count: number;
  /** Whether these are all there are. */
  readonly exact: boolean;
  /** Calls `visit` with each one; the array is used again for the next. */
  readonly forEach: (visit: (weights: Float64Array) => void) => void;
}

/**
 * How many arrangements give statistics that can differ: 2^(rows - 1) patterns of signs (a pattern and its opposite give
 * the same |t|), or rows! / (products of the factorials of the numbers of equal weights). Infinity beyond 2^1023.
 * @example possibleArrangements(curveScores(curvesFrom([[1], [2], [3]]), { kind: 'one-sample' })) // 4
 */
export function possibleArrangements(scores: CurveScores): number {
  const { rows, weights, exchange } = scores;
  if (exchange === 'signs') return 2 ** (rows - 1);
  let count = 1;
  let placed = 0;
  for (const equal of equalWeights(weights))
    for (let k = 1; k <= equal; k++) {
      placed += 1;
      count = (count * placed) / k;
    }
  return Math.round(count);
}

/**
 * All arrangements where there are at most `most`; else the observed one and `most` - 1 drawn at random.
 *
 * @throws RangeError when they must be drawn and no stream is given
 */
export function arrangements(scores: CurveScores, most: number, stream: Stream | null): Arrangements {
  const possible = possibleArrangements(scores);
  if (possible <= most) {
    const forEach = (visit: (weights: Float64Array) => void) =>
      scores.exchange === 'signs' ? everySign(scores.weights, visit) : everyOrder(scores.weights, visit);
    return { count: possible, exact: true, forEach };
  }
  if (stream === null)
    throw new RangeError(
      `arrangements: ${possible} arrangements are more than ${most}; give a stream to draw them from`,
    );
  return {
    count: most,
    exact: false,
    forEach(visit) {
      const weights = Float64Array.from(scores.weights);
      visit(weights);
      for (let k = 1; k < most; k++) {
        if (scores.exchange === 'signs')
          for (let j = 0; j < weights.length; j++)
            weights[j] = stream.bernoulli(0.5) ? scores.weights[j]! : -scores.weights[j]!;
        else weights.set(stream.shuffle(Array.from(scores.weights)));
        visit(weights);
      }
    },
  };
}

/** The first sign stays, since a pattern and its opposite are one; bit j of the counter turns sign j + 1. */
function everySign(observed: Float64Array, visit: (weights: Float64Array) => void): void {
  const weights = Float64Array.from(observed);
  for (let pattern = 0; pattern < 2 ** (observed.length - 1); pattern++) {
    for (let j = 1; j < weights.length; j++)
      weights[j] = (pattern >> (j - 1)) & 1 ? -observed[j]! : observed[j]!;
    visit(weights);
  }
}

/** Every distinct order of the weights, the observed one first, the others in order of size. */
function everyOrder(observed: Float64Array, visit: (weights: Float64Array) => void): void {
  visit(Float64Array.from(observed));
  const order = Float64Array.from(observed).sort();
  do {
    if (order.some((weight, j) => weight !== observed[j])) visit(Float64Array.from(order));
  } while (nextOrder(order));
}

/** The next order by size, or false after the last (Narayana's algorithm; Knuth 2011, The Art of Computer Programming 4A, 7.2.1.2). */
function nextOrder(order: Float64Array): boolean {
  let i = order.length - 2;
  while (i >= 0 && order[i]! >= order[i + 1]!) i -= 1;
  if (i < 0) return false;
  let j = order.length - 1;
  while (order[j]! <= order[i]!) j -= 1;
  [order[i], order[j]] = [order[j]!, order[i]!];
  order.subarray(i + 1).reverse();
  return true;
}

function equalWeights(weights: Float64Array): number[] {
  const sizes = new Map<number, number>();
  for (const weight of weights) sizes.set(weight, (sizes.get(weight) ?? 0) + 1);
  return [...sizes.values()];
}
