/** Two moments taken for one swing, by their places in the lists given. */
export interface TimePair {
  readonly left: number;
  readonly right: number;
}

/** More than this many pairs to weigh at once is no lesson. */
const MOST_PAIRS = 16_000_000;

/** Two lists in which so many moments lie so close together that their pairs cannot be weighed. */
export class TooManyMoments extends Error {
  override readonly name = 'TooManyMoments';
}

/**
 * Pairs the moments of two lists so that as many as possible are paired, no pair is further apart than the tolerance,
 * no two pairs cross in time, and, among all ways to do so, the differences sum to the least (dynamic programming over
 * the two sorted lists, as in Needleman and Wunsch 1970). Times are in seconds; neither list need be sorted.
 *
 * @throws Error when a time is not finite
 * @throws TooManyMoments when too many lie within the tolerance of each other
 * @example joinByTime([10, 40], [11, 12, 41], 5) // [{ left: 0, right: 0 }, { left: 1, right: 2 }]
 */
export function joinByTime(
  left: readonly number[],
  right: readonly number[],
  tolerance: number,
): readonly TimePair[] {
  if (![...left, ...right].every(Number.isFinite))
    throw new Error('joinByTime: a time is not finite. Leave it out.');
  const [a, b] = [byTime(left), byTime(right)];
  const pairs: TimePair[] = [];
  // Nothing is paired across a gap wider than the tolerance, so each stretch between such gaps stands for itself.
  for (let [i, j] = [0, 0]; i < a.length && j < b.length; ) {
    const [fromI, fromJ] = [i, j];
    let last = Math.min(left[a[i]!]!, right[b[j]!]!);
    for (;;) {
      const nextLeft = i < a.length ? left[a[i]!]! : Number.POSITIVE_INFINITY;
      const nextRight = j < b.length ? right[b[j]!]! : Number.POSITIVE_INFINITY;
      const next = Math.min(nextLeft, nextRight);
      if (next - last > tolerance || next === Number.POSITIVE_INFINITY) break;
      last = next;
      if (nextLeft <= nextRight) i += 1;
      else j += 1;
    }
    for (const pair of pairsOf(a.slice(fromI, i), b.slice(fromJ, j), left, right, tolerance))
      pairs.push(pair);
  }
  return pairs;
}

function byTime(times: readonly number[]): readonly number[] {
  return times.map((_, index) => index).sort((a, b) => times[a]! - times[b]! || a - b);
}

/** The pairs of one stretch; `a` and `b` are the places of its moments, in the order of time. */
function pairsOf(
  a: readonly number[],
  b: readonly number[],
  left: readonly number[],
  right: readonly number[],
  tolerance: number,
): readonly TimePair[] {
  const [n, m] = [a.length, b.length];
  if (n * m > MOST_PAIRS)
    throw new TooManyMoments(`joinByTime: ${n} and ${m} moments within ${tolerance} s of one another.`);
  const width = m + 1;
  const pairs = new Int32Array((n + 1) * width);
  const apart = new Float64Array((n + 1) * width);
  for (let i = 1; i <= n; i += 1)
    for (let j = 1; j <= m; j += 1) {
      const at = i * width + j;
      const [skipLeft, skipRight, both] = [at - width, at - 1, at - width - 1];
      let best = isBetter(skipLeft, skipRight) ? skipLeft : skipRight;
      pairs[at] = pairs[best]!;
      apart[at] = apart[best]!;
      const gap = Math.abs(left[a[i - 1]!]! - right[b[j - 1]!]!);
      if (gap > tolerance) continue;
      best = both;
      if (
        pairs[best]! + 1 > pairs[at]! ||
        (pairs[best]! + 1 === pairs[at]! && apart[best]! + gap < apart[at]!)
      ) {
        pairs[at] = pairs[best]! + 1;
        apart[at] = apart[best]! + gap;
      }
    }
  function isBetter(one: number, other: number): boolean {
    return pairs[one]! > pairs[other]! || (pairs[one] === pairs[other] && apart[one]! <= apart[other]!);
  }
  const found: TimePair[] = [];
  for (let i = n, j = m; i > 0 && j > 0; ) {
    const at = i * width + j;
    const same = (other: number) => pairs[at] === pairs[other] && apart[at] === apart[other];
    if (same(at - width)) i -= 1;
    else if (same(at - 1)) j -= 1;
    else {
      found.push({ left: a[i - 1]!, right: b[j - 1]! });
      i -= 1;
      j -= 1;
    }
  }
  return found.reverse();
}
