import { normalUpper } from '../../numerics/index.ts';

/** Rank correlation of two lists of equal length; see `kendall`. */
export interface Kendall {
  /** Concordant less discordant pairs. */
  readonly s: number;
  readonly pairs: number;
  /** s / sqrt((pairs - ties in x)(pairs - ties in y)); null where one of the lists does not vary. */
  readonly tauB: number | null;
  /** Two-sided; exact without ties, else normal with the variance for ties; null where a list does not vary. */
  readonly p: number | null;
}

/**
 * Kendall's rank correlation (Kendall 1970, Rank Correlation Methods, 4th ed.): S, tau-b, and the two-sided p. Without
 * ties p is exact, by the recursion of the numbers of orders with so many inversions.
 *
 * @throws Error when the lists differ in length
 * @example kendall([1, 2, 3, 4, 5], [1, 2, 3, 4, 5]).p // 0.016667
 */
export function kendall(x: readonly number[], y: readonly number[]): Kendall {
  const n = x.length;
  if (y.length !== n) throw new Error(`kendall: the lists have ${n} and ${y.length} values; pair them first`);
  let s = 0;
  for (let i = 0; i < n; i++)
    for (let j = i + 1; j < n; j++) s += Math.sign(x[j]! - x[i]!) * Math.sign(y[j]! - y[i]!);
  const pairs = (n * (n - 1)) / 2;
  const tiesX = tieCounts(x);
  const tiesY = tieCounts(y);
  const freeX = pairs - sumOf(tiesX, (t) => (t * (t - 1)) / 2);
  const freeY = pairs - sumOf(tiesY, (t) => (t * (t - 1)) / 2);
  if (freeX === 0 || freeY === 0) return { s, pairs, tauB: null, p: null };
  const tied = tiesX.length > 0 || tiesY.length > 0;
  return {
    s,
    pairs,
    tauB: s / Math.sqrt(freeX * freeY),
    p: tied || n > 60 ? normalP(s, n, tiesX, tiesY) : exactP(s, n),
  };
}

/** Sizes of the groups of equal values, those of more than one. */
function tieCounts(values: readonly number[]): number[] {
  const counts = new Map<number, number>();
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1);
  return [...counts.values()].filter((count) => count > 1);
}

const sumOf = (values: readonly number[], of: (value: number) => number) =>
  values.reduce((sum, value) => sum + of(value), 0);

/** The chance of an S at least as far from 0 among all n! orders: shares of inversions, built up order by order. */
function exactP(s: number, n: number): number {
  const pairs = (n * (n - 1)) / 2;
  let shares = new Float64Array([1]);
  for (let size = 2; size <= n; size++) {
    const next = new Float64Array((size * (size - 1)) / 2 + 1);
    for (let k = 0; k < shares.length; k++)
      for (let more = 0; more < size; more++) next[k + more] = next[k + more]! + shares[k]! / size;
    shares = next;
  }
  const inversions = (pairs - Math.abs(s)) / 2;
  let tail = 0;
  for (let k = 0; k <= inversions; k++) tail += shares[k]!;
  return Math.min(1, 2 * tail);
}

/** Normal, with the variance of S under ties in both lists (Kendall 1970, equation 4.3), no continuity correction. */
function normalP(s: number, n: number, tiesX: readonly number[], tiesY: readonly number[]): number {
  const big = (t: number) => t * (t - 1) * (2 * t + 5);
  const three = (t: number) => t * (t - 1) * (t - 2);
  const two = (t: number) => t * (t - 1);
  const variance =
    (big(n) - sumOf(tiesX, big) - sumOf(tiesY, big)) / 18 +
    (n > 2 ? (sumOf(tiesX, three) * sumOf(tiesY, three)) / (9 * three(n)) : 0) +
    (sumOf(tiesX, two) * sumOf(tiesY, two)) / (2 * two(n));
  return Math.min(1, 2 * normalUpper(Math.abs(s) / Math.sqrt(variance)));
}
