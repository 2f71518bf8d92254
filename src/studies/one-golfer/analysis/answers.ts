import type { Plan } from '../../../dataset/index.ts';
import { moments, pureBetweenSd } from '../../../stats/index.ts';
import type { SmallestChange, Verdict } from '../../finding.ts';
import type { RosterSession } from '../../shared/roster.ts';
import { smallestChange } from '../../shared/smallest-change.ts';
import { verdictOf } from '../../shared/standing.ts';
import type { StudyMetric } from '../../shared/study-metric.ts';
import type { GolferSeries } from '../input/series.ts';
import {
  type Change,
  type Counts,
  countsOf,
  detectable,
  mainChange,
  observedDifference,
  seriesChange,
} from './change.ts';
import { type Measures, measuresOf } from './measures.ts';
import { type NoiseSources, noiseSources } from './noise.ts';
import { DEFAULT_SEED, type Randomisation, testByRandomisation } from './randomisation.ts';

export interface Request {
  readonly metric: StudyMetric;
  readonly series: readonly GolferSeries[];
  /** Every session of the roster, and full swings with a value by session: for the noise of the roster. */
  readonly sessions: readonly RosterSession[];
  readonly values: ReadonlyMap<string, readonly number[]>;
  readonly plan: Plan | null;
  readonly seed: number | undefined;
}

/** Everything that is worked out, before a word is said of it. */
export interface Answers {
  readonly level: number;
  readonly seed: number;
  readonly counts: Counts;
  readonly change: Change;
  readonly observed: number | null;
  readonly noise: NoiseSources;
  /** The difference that noise alone would pass in one of twenty; null where noise is not known. */
  readonly detectable: number | null;
  readonly randomisation: Randomisation;
  /** The change where each golfer may also run along a straight line; null where that cannot be told. */
  readonly besidesTrend: Change | null;
  readonly measures: readonly Measures[];
  readonly smallest: SmallestChange | null;
  readonly verdict: Verdict;
}

export const LEVEL = 0.95;
/** Golfers with a baseline from which the spread between golfers is taken. */
const ENOUGH_GOLFERS = 6;

/** Works the question out for one golfer, or a few of one multiple baseline. */
export function answer(request: Request): Answers {
  const { metric, series, sessions, values, plan } = request;
  const level = plan?.level ?? LEVEL;
  const seed = request.seed ?? plan?.seed ?? DEFAULT_SEED;
  const noise = noiseSources(series, sessions, values);
  const change = mainChange(series, noise, level);
  const counts = countsOf(series);
  const used = noise.used;
  const typicalError =
    used === null || counts.before === 0 || counts.after === 0
      ? null
      : used.sem * Math.sqrt((series.length * (1 / counts.before + 1 / counts.after)) / 2);
  const { smallest } = smallestChange(metric, plan?.smallestChangeThatMatters, {
    typicalError,
    from: used?.words ?? 'not known',
    betweenSd: betweenGolfers(sessions, values, used?.sem ?? 0),
    atBaseline: true,
  });
  return {
    level,
    seed,
    counts,
    change,
    observed: observedDifference(series),
    noise,
    detectable: used === null ? null : detectable(series, used, level),
    randomisation: testByRandomisation(series, plan, level, seed),
    besidesTrend: seriesChange(series, level, { trend: true }),
    measures: series.flatMap((one) => measuresOf(one, metric.goodDirection === -1 ? -1 : 1) ?? []),
    smallest,
    verdict: smallest === null ? 'cannot-tell' : verdictOf(change.interval, smallest),
  };
}

/** SD of golfers' baselines, the noise of a session taken out; null below six golfers. */
function betweenGolfers(
  sessions: readonly RosterSession[],
  values: ReadonlyMap<string, readonly number[]>,
  sem: number,
): number | null {
  const baselines = new Map<string, number[]>();
  for (const { golfer, phase, session } of sessions) {
    const own = values.get(session);
    if (phase !== 'baseline' || own === undefined) continue;
    baselines.set(golfer, [...(baselines.get(golfer) ?? []), moments(own)!.mean]);
  }
  const means = [...baselines.values()].map((own) => moments(own)!);
  const spread = moments(means.map(({ mean }) => mean))?.sd ?? null;
  if (means.length < ENOUGH_GOLFERS || spread === null) return null;
  const visits = means.reduce((sum, { n }) => sum + 1 / n, 0) / means.length;
  return pureBetweenSd(spread, sem ** 2 * visits);
}
