import { normalQuantile } from '../../numerics/index.ts';

/** Non-overlap of all pairs of an A and a B value; see `nonOverlap`. */
export interface NonOverlap {
  /** The share of pairs (one A, one B) in which B is the higher, ties counting one half. */
  readonly nap: number;
  readonly pairs: number;
  /** B higher, less B lower: the S of Kendall between the phases. */
  readonly s: number;
  /**
   * From the exactly unbiased variance of a U-statistic (Sen 1967, Ann Math Stat 38; Mee 1990, JASA 85:793-800), ties
   * allowed for; null below two values in a phase.
   */
  readonly standardErrorUnbiased: number | null;
  /** The same as it is in print, which is unbiased without ties only; equal to the former then. */
  readonly standardErrorPrinted: number | null;
  /** Hanley and McNeil (1982), Radiology 143:29-36, with the shares of triples counted. */
  readonly standardErrorHanley: number;
  /** If A and B were the same: sqrt((m + n + 1) / (12 m n)). */
  readonly standardErrorNull: number;
  /** Newcombe (2006), Stat Med 25:559-573, method 5. */
  readonly interval: readonly [number, number];
}

/**
 * Non-overlap of all pairs (Parker and Vannest 2009, Behav Ther 40:357-367) for values where more is better; turn the
 * signs where less is. Standard errors and interval take values as independent, which sessions of one person may
 * not be.
 *
 * @throws Error when a phase has no value
 * @example nonOverlap([4, 3, 4, 3, 4, 7, 5, 2, 3, 2], [5, 9, 7, 9, 7, 5, 9, 11, 11, 10, 9]).nap // 0.9636
 */
export function nonOverlap(a: readonly number[], b: readonly number[], level = 0.95): NonOverlap {
  const m = a.length;
  const n = b.length;
  if (m === 0 || n === 0)
    throw new Error('nonOverlap: both phases need a value; leave the measure out where one is empty');
  const rows = new Float64Array(m);
  const columns = new Float64Array(n);
  let total = 0;
  let squares = 0;
  a.forEach((before, i) => {
    b.forEach((after, j) => {
      const q = after > before ? 1 : after === before ? 0.5 : 0;
      rows[i] = rows[i]! + q;
      columns[j] = columns[j]! + q;
      total += q;
      squares += q * q;
    });
  });
  const pairs = m * n;
  const nap = total / pairs;
  const rowSquares = rows.reduce((sum, q) => sum + q * q, 0);
  const columnSquares = columns.reduce((sum, q) => sum + q * q, 0);
  const hanley =
    (nap * (1 - nap) +
      (n - 1) * (rowSquares / (m * n * n) - nap ** 2) +
      (m - 1) * (columnSquares / (m * m * n) - nap ** 2)) /
    pairs;
  return {
    nap,
    pairs,
    s: 2 * total - pairs,
    standardErrorUnbiased: unbiased(m, n, nap, rowSquares, columnSquares, squares / pairs),
    standardErrorPrinted: unbiased(m, n, nap, rowSquares, columnSquares, 2 * (squares / pairs) - nap),
    standardErrorHanley: Math.sqrt(Math.max(0, hanley)),
    standardErrorNull: Math.sqrt((m + n + 1) / (12 * pairs)),
    interval: newcombe(nap, m, n, level),
  };
}

/**
 * The variance of a two-sample U-statistic from sums of pairs with a common index and with none:
 * [n Q1 + m Q2 - E(q^2) - (m + n - 1) nap^2] / ((m - 1)(n - 1)), Q1 and Q2 being the mean squares of row and column means.
 * `meanSquare` is E(q^2), which without ties is nap itself; in print it stands as 2 E(q^2) - nap.
 */
function unbiased(
  m: number,
  n: number,
  nap: number,
  rowSquares: number,
  columnSquares: number,
  meanSquare: number,
): number | null {
  if (m < 2 || n < 2) return null;
  const means = (rowSquares + columnSquares) / (m * n);
  const variance = (means - meanSquare - (m + n - 1) * nap ** 2) / ((m - 1) * (n - 1));
  return Math.sqrt(Math.max(0, variance));
}

/**
 * The values t with (nap - t)^2 <= z^2 V(t), V(t) = t (1 - t) / (m n) x {1 + h [(1 - t) / (2 - t) + t / (1 + t)]} and
 * h = (m + n) / 2 - 1: by halving on both sides of the estimate.
 */
function newcombe(nap: number, m: number, n: number, level: number): [number, number] {
  const z = normalQuantile((1 + level) / 2);
  const h = (m + n) / 2 - 1;
  const inside = (t: number) => {
    const variance = ((t * (1 - t)) / (m * n)) * (1 + h * ((1 - t) / (2 - t) + t / (1 + t)));
    return (nap - t) ** 2 <= z * z * variance;
  };
  const end = (outermost: 0 | 1) => {
    let [within, beyond] = [nap, outermost as number];
    if (nap === outermost) return nap;
    for (let i = 0; i < 60; i++) {
      const middle = (within + beyond) / 2;
      // At 0 and at 1 themselves the variance is 0; just inside them it is not.
      if (inside(middle)) within = middle;
      else beyond = middle;
    }
    return (within + beyond) / 2;
  };
  return [end(0), end(1)];
}
