import {
  type BaselineCorrectedTau,
  baselineCorrectedTau,
  kendall,
  lagOneAutocorrelation,
  type NonOverlap,
  nonOverlap,
  type RankTrend,
  rankTrend,
  theilSen,
} from '../../../stats/index.ts';
import type { PhaseRun } from '../../one-golfer-tables.ts';
import type { GolferSeries } from '../input/series.ts';

/** What is said of one golfer's series besides the change; all of it takes sessions as they come. */
export interface Measures {
  readonly golfer: string;
  /** More is better, or higher where neither is. */
  readonly nonOverlap: NonOverlap;
  readonly rankTrend: RankTrend;
  readonly corrected: BaselineCorrectedTau;
  /** Theil-Sen slope of A (its first phase), each session, and Kendall's p of it. */
  readonly baselineSlope: number | null;
  readonly baselineP: number | null;
  readonly lagOne: { readonly value: number; readonly corrected: number } | null;
}

/** The measures of a series that has both conditions; null else. `sign` -1 turns a metric of which less is better. */
export function measuresOf(series: GolferSeries, sign: 1 | -1): Measures | null {
  const { compared, golfer } = series;
  const a = compared.filter(({ condition }) => condition === 'A');
  const b = compared.filter(({ condition }) => condition === 'B');
  if (a.length === 0 || b.length === 0) return null;
  const before = a.map(({ mean }) => sign * mean);
  const after = b.map(({ mean }) => sign * mean);
  const first = a.filter(({ run }) => run === a[0]!.run).map(({ mean }) => mean);
  const levels = runMeans(series);
  return {
    golfer,
    nonOverlap: nonOverlap(before, after),
    rankTrend: rankTrend(before, after),
    corrected: baselineCorrectedTau(before, after),
    baselineSlope: theilSen(first)?.slope ?? null,
    baselineP: kendall(
      first.map((_, i) => i),
      first,
    ).p,
    lagOne: lagOneAutocorrelation(
      compared.map(({ run, mean }) => mean - levels.get(run)!),
      levels.size,
    ),
  };
}

function runMeans({ compared }: GolferSeries): ReadonlyMap<number, number> {
  const sums = new Map<number, { sum: number; n: number }>();
  for (const { run, mean } of compared) {
    const { sum, n } = sums.get(run) ?? { sum: 0, n: 0 };
    sums.set(run, { sum: sum + mean, n: n + 1 });
  }
  return new Map([...sums].map(([run, { sum, n }]) => [run, sum / n]));
}

/** The phases of a series, the later ones too. */
export function phaseRuns({ golfer, compared, retention }: GolferSeries): PhaseRun[] {
  const points = [...compared, ...retention].sort((a, b) => a.order - b.order);
  return [...new Set(points.map(({ run }) => run))].map((run) => {
    const own = points.filter((point) => point.run === run);
    const means = own.map(({ mean }) => mean);
    const mean = means.reduce((sum, value) => sum + value, 0) / means.length;
    const squares = means.reduce((sum, value) => sum + (value - mean) ** 2, 0);
    return {
      golfer,
      run,
      condition: own[0]!.condition,
      sessions: own.length,
      swings: own.reduce((sum, { swings }) => sum + swings, 0),
      mean,
      sd: means.length > 1 ? Math.sqrt(squares / (means.length - 1)) : null,
      slope: theilSen(means)?.slope ?? null,
    };
  });
}
