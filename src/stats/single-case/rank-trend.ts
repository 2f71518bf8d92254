import { median } from '../../numerics/index.ts';
import { kendall } from './kendall.ts';
import { nonOverlap } from './non-overlap.ts';

/** A measure between A and B in rank terms, with its parts. */
export interface RankTrend {
  /** S between the phases, within A and within B. */
  readonly sBetween: number;
  readonly sWithinA: number;
  readonly sWithinB: number;
  /** S_AB / (m n) = 2 NAP - 1. */
  readonly tau: number;
  /** (S_AB - S_A) / (m n): the trend of A taken off. Not bound to -1 and 1. */
  readonly tauLessTrendA: number;
  /** (S_AB - S_A) / (m n + m (m - 1) / 2): the same over all pairs that it counts. */
  readonly tauLessTrendAOverItsPairs: number;
  /** (S_AB - S_A + S_B) / all pairs: the trend of A taken off, that of B put on. */
  readonly tauWithTrends: number;
  /** Whether one of these lies beyond -1 or 1. It is not cut off: a value that cannot be is a reason not to use it. */
  readonly outOfRange: boolean;
}

const trend = (values: readonly number[]) =>
  kendall(
    values.map((_, i) => i),
    values,
  ).s;

/**
 * Tau between phases and the published variants of Tau-U (Parker, Vannest, Davis and Sauber 2011, Behav Ther 42:284-299;
 * Parker, Vannest and Davis 2011, Behav Modif 35:303-322), for values where more is better.
 *
 * @throws Error when a phase has no value
 * @example rankTrend([3, 3, 4, 5], [4, 5, 6, 7, 7]).tauLessTrendA // 0.55
 */
export function rankTrend(a: readonly number[], b: readonly number[]): RankTrend {
  const m = a.length;
  const n = b.length;
  const sBetween = nonOverlap(a, b).s;
  const sWithinA = trend(a);
  const sWithinB = trend(b);
  const tauLessTrendA = (sBetween - sWithinA) / (m * n);
  const tauLessTrendAOverItsPairs = (sBetween - sWithinA) / (m * n + (m * (m - 1)) / 2);
  const tauWithTrends = (sBetween - sWithinA + sWithinB) / (((m + n) * (m + n - 1)) / 2);
  return {
    sBetween,
    sWithinA,
    sWithinB,
    tau: sBetween / (m * n),
    tauLessTrendA,
    tauLessTrendAOverItsPairs,
    tauWithTrends,
    outOfRange: [tauLessTrendA, tauLessTrendAOverItsPairs, tauWithTrends].some((t) => Math.abs(t) > 1),
  };
}

/**
 * The Theil-Sen line through values on occasions 1, 2, ...: the median of the slopes of all pairs, and the median of
 * what is left as intercept (Theil 1950; Sen 1968, JASA 63:1379-1389). Null below two values.
 *
 * @example theilSen([5, 7, 9, 11]) // { slope: 2, intercept: 3 }
 */
export function theilSen(
  values: readonly number[],
): { readonly slope: number; readonly intercept: number } | null {
  const slopes: number[] = [];
  values.forEach((from, i) => {
    for (let j = i + 1; j < values.length; j++) slopes.push((values[j]! - from) / (j - i));
  });
  const slope = median(slopes);
  if (slope === null) return null;
  return { slope, intercept: median(values.map((value, i) => value - slope * (i + 1)))! };
}

/** Kendall's tau between phases, with the trend of the first phase taken off where it has one. */
export interface BaselineCorrectedTau {
  /** Whether the trend of A was taken off: where its Kendall p is below `alpha`. */
  readonly corrected: boolean;
  /** Of the trend of A; null where A does not vary. */
  readonly baselineP: number | null;
  readonly slope: number | null;
  /** Kendall's tau-b between phase and (corrected) value, as Tarlow has it; 0 where nothing varies. */
  readonly tauB: number;
  /** S / (m n) of the same values: on the scale of `rankTrend`. */
  readonly tau: number;
}

/**
 * Baseline corrected Tau (Tarlow 2017, Behav Modif 41:427-467): the Theil-Sen line of A is carried on through B and taken
 * off both, where A has a trend; then rank correlation of value and phase. It is bound to -1 and 1.
 *
 * @throws Error when a phase has no value
 * @example baselineCorrectedTau([1, 2, 3, 4, 5], [6, 7, 8, 9, 10]).tau // 0
 */
export function baselineCorrectedTau(
  a: readonly number[],
  b: readonly number[],
  alpha = 0.05,
): BaselineCorrectedTau {
  const baselineP = kendall(
    a.map((_, i) => i),
    a,
  ).p;
  const line = theilSen(a);
  const corrected = baselineP !== null && baselineP < alpha && line !== null;
  const all = [...a, ...b];
  const scale = Math.max(...all.map(Math.abs));
  const left = all.map((value, i) => (corrected ? value - line.intercept - line.slope * (i + 1) : value));
  // What the line leaves of equal values must stay equal, in spite of rounding.
  const clean = left.map((value) => (Math.abs(value) < 1e-12 * scale ? 0 : Number(value.toPrecision(12))));
  const [before, after] = [clean.slice(0, a.length), clean.slice(a.length)];
  return {
    corrected,
    baselineP,
    slope: line?.slope ?? null,
    tauB: kendall([...a.map(() => 0), ...b.map(() => 1)], clean).tauB ?? 0,
    tau: nonOverlap(before, after).s / (a.length * b.length),
  };
}
