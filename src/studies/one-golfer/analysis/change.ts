import { changeInSeries, detectableChange, type SeriesChangeOptions } from '../../../stats/index.ts';
import type { SessionPoint } from '../../one-golfer-tables.ts';
import type { GolferSeries } from '../input/series.ts';
import type { NoiseSources, SessionNoise } from './noise.ts';

/** How the change and its interval were got. */
export type ChangeMethod = 'series' | 'noise' | 'none';

export interface Change {
  readonly method: ChangeMethod;
  readonly value: number | null;
  readonly interval: readonly [number, number] | null;
  readonly degreesOfFreedom: number | null;
  /** Of neighbouring sessions; null where it was not worked out. */
  readonly autocorrelation: { readonly value: number; readonly interval: readonly [number, number] } | null;
  /** Why there is no interval. */
  readonly why: string;
}

/** Sessions in A and in B, over all golfers, that a series must have to say by itself how sure its change is. */
export const ENOUGH_SESSIONS = 3;

const inB = ({ condition }: SessionPoint) => condition === 'B';
const meanOf = (points: readonly SessionPoint[]) =>
  points.reduce((sum, { mean }) => sum + mean, 0) / points.length;

export interface Counts {
  readonly before: number;
  readonly after: number;
}

export function countsOf(series: readonly GolferSeries[]): Counts {
  const points = series.flatMap(({ compared }) => compared);
  const after = points.filter(inB).length;
  return { before: points.length - after, after };
}

/** Mean of B less mean of A, averaged over golfers; null where a golfer has no A or no B. */
export function observedDifference(series: readonly GolferSeries[]): number | null {
  const differences = series.map(({ compared }) => {
    const after = compared.filter(inB);
    const before = compared.filter((point) => !inB(point));
    return before.length === 0 || after.length === 0 ? null : meanOf(after) - meanOf(before);
  });
  if (differences.length === 0 || differences.some((difference) => difference === null)) return null;
  return differences.reduce<number>((sum, difference) => sum + difference!, 0) / differences.length;
}

/** 1/before + 1/after of the difference above, averaged over golfers. */
function shareOfVariance(series: readonly GolferSeries[]): Counts {
  let before = 0;
  let after = 0;
  for (const { compared } of series) {
    const b = compared.filter(inB).length;
    before += 1 / (compared.length - b);
    after += 1 / b;
  }
  return { before: series.length ** 2 / before, after: series.length ** 2 / after };
}

/** The difference that noise alone would pass in one of twenty such comparisons. */
export function detectable(
  series: readonly GolferSeries[],
  noise: SessionNoise,
  level: number,
): number | null {
  if (observedDifference(series) === null) return null;
  const { sem, degreesOfFreedom } = noise;
  return detectableChange({ sem, degreesOfFreedom, level, ...shareOfVariance(series) });
}

/** The change from the series themselves, under other choices where asked. */
export function seriesChange(
  series: readonly GolferSeries[],
  level: number,
  options: Omit<SeriesChangeOptions, 'level'> = {},
): Change | null {
  const { before, after } = countsOf(series);
  if (before < ENOUGH_SESSIONS || after < ENOUGH_SESSIONS) return null;
  const change = changeInSeries(
    series.map(({ compared }) => ({
      values: compared.map(({ mean }) => mean),
      inB: compared.map(inB),
    })),
    { level, ...options },
  );
  if (change === null) return null;
  return {
    method: 'series',
    value: change.change,
    interval: change.interval,
    degreesOfFreedom: change.degreesOfFreedom,
    autocorrelation: options.autocorrelation === undefined ? change.autocorrelation : null,
    why: '',
  };
}

/** The observed difference with the interval that a known noise of sessions gives it. */
export function noiseChange(
  series: readonly GolferSeries[],
  noise: SessionNoise,
  level: number,
): Change | null {
  const value = observedDifference(series);
  const half = detectable(series, noise, level);
  if (value === null || half === null) return null;
  return {
    method: 'noise',
    value,
    interval: [value - half, value + half],
    degreesOfFreedom: noise.degreesOfFreedom,
    autocorrelation: null,
    why: '',
  };
}

/** Whether every phase's sessions are exactly alike. */
function isConstant(series: readonly GolferSeries[]): boolean {
  return series.every(({ compared }) =>
    compared.every(
      (point, i) => i === 0 || compared[i - 1]!.run !== point.run || compared[i - 1]!.mean === point.mean,
    ),
  );
}

/**
 * The change that answers: from the golfer's own series where A and B have three sessions each, else the difference of the
 * means with the noise of the roster, else the bare difference without an interval.
 */
export function mainChange(series: readonly GolferSeries[], noise: NoiseSources, level: number): Change {
  const own = seriesChange(series, level);
  if (own !== null) return own;
  const { before, after } = countsOf(series);
  const enough = before >= ENOUGH_SESSIONS && after >= ENOUGH_SESSIONS;
  const constant = enough && isConstant(series);
  const borrowed = constant || noise.roster === null ? null : noiseChange(series, noise.roster, level);
  if (borrowed !== null) return borrowed;
  const value = observedDifference(series);
  return {
    method: 'none',
    value,
    interval: null,
    degreesOfFreedom: null,
    autocorrelation: null,
    why: constant
      ? 'the sessions of a phase are all exactly alike, which measured swings are not: nothing says how sure this is'
      : `with ${before} and ${after} sessions, and no other golfer measured twice in one phase, nothing says how much a session's mean varies from day to day`,
  };
}
