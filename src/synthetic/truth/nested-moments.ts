/** Values of one golfer: visits of swings, each swing a list of values, one for each column. */
export type NestedValues = readonly (readonly (readonly number[])[])[];

/** Covariances of two columns between golfers, between visits of a golfer and between swings of a visit. */
export interface Moments {
  readonly golfer: number;
  readonly session: number;
  readonly swing: number;
}

/**
 * Components of the covariance of columns a and b by mean products, balanced: every golfer with the same numbers of visits and
 * swings. Unbiased. With a = b the components of variance (Searle, Casella & McCulloch, Variance Components, 1992, ch. 4).
 */
export function nestedMoments(golfers: readonly NestedValues[], a: number, b: number): Moments {
  const visits = golfers[0]!.length;
  const swings = golfers[0]![0]!.length;
  const pairsIn = (visit: NestedValues[number]) => visit.map((swing) => [swing[a]!, swing[b]!] as const);
  const perVisit = golfers.map((golfer) => golfer.map((visit) => middle(pairsIn(visit))));
  const swingMp = average(golfers.flatMap((golfer) => golfer.map((visit) => covariance(pairsIn(visit)))));
  const sessionMp = swings * average(perVisit.map(covariance));
  const golferMp = swings * visits * covariance(perVisit.map(middle));
  return {
    golfer: (golferMp - sessionMp) / (visits * swings),
    session: (sessionMp - swingMp) / swings,
    swing: swingMp,
  };
}

type Pair = readonly [number, number];

function middle(pairs: readonly Pair[]): Pair {
  return [average(pairs.map(([x]) => x)), average(pairs.map(([, y]) => y))];
}

function covariance(pairs: readonly Pair[]): number {
  const [mx, my] = middle(pairs);
  return pairs.reduce((sum, [x, y]) => sum + (x - mx) * (y - my), 0) / (pairs.length - 1);
}

export function average(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

const GROUPS = 20;

/**
 * A statistic of golfers and its standard error by the jackknife, leaving out one of twenty groups of golfers at a time
 * (Efron & Tibshirani, An Introduction to the Bootstrap, 1993, ch. 11).
 */
export function withError<T>(
  golfers: readonly T[],
  statistic: (golfers: readonly T[]) => number,
): { readonly value: number; readonly error: number } {
  const value = statistic(golfers);
  const without = Array.from({ length: GROUPS }, (_, group) =>
    statistic(golfers.filter((_golfer, at) => at % GROUPS !== group)),
  );
  const centre = average(without);
  const spread = without.reduce((sum, other) => sum + (other - centre) ** 2, 0);
  return { value, error: Math.sqrt(((GROUPS - 1) / GROUPS) * spread) };
}
