import { shareInterval } from '../shared/share-interval.ts';
import type { CalibrationRow } from './row.ts';

/** What 95% intervals must come to over cohorts of known truth, as shares. */
export const BAND = { low: 0.935, nominal: 0.95, high: 0.965 } as const;
export const MONTE_CARLO_LEVEL = 0.95;
/** Half of the band: a Monte Carlo interval that reaches further than this tells nothing. */
const TOO_WIDE = (BAND.high - BAND.low) / 2;

/**
 * Where a coverage stands against the band. `too-low`, `too-high`: the whole Monte Carlo interval is outside it.
 * `inside`: the share is in the band and the Monte Carlo interval is no wider than the band. `not-claimed`: shown to show
 * how far a method misses where it does not fit.
 */
export type CoverageStanding =
  | 'inside'
  | 'too-low'
  | 'too-high'
  | 'cannot-tell'
  | 'not-claimed'
  | 'no-interval';

export function coverageStanding(row: CalibrationRow): CoverageStanding {
  const { covered, claim } = row;
  if (covered === null) return 'no-interval';
  if (claim === 'none') return 'not-claimed';
  const [low, high] = coverageInterval(row)!;
  if (high < BAND.low) return 'too-low';
  if (low > BAND.high) return claim === 'exact' ? 'too-high' : 'inside';
  const within = covered >= BAND.low && (covered <= BAND.high || claim === 'at-least');
  return within && (high - low) / 2 <= TOO_WIDE ? 'inside' : 'cannot-tell';
}

/** Where the share of `meaningful` stands that is given where nothing is there. */
export type FalseStanding = 'seldom' | 'too-often' | 'cannot-tell' | 'not-asked';

export function falseStanding(row: CalibrationRow): FalseStanding {
  const { meaningful, mostFalse, claim } = row;
  if (meaningful === null || mostFalse === null || claim === 'none') return 'not-asked';
  const [low, high] = meaningfulInterval(row)!;
  if (low > mostFalse) return 'too-often';
  return meaningful <= mostFalse && (high - low) / 2 <= TOO_WIDE ? 'seldom' : 'cannot-tell';
}

/** Monte Carlo interval of the coverage; where a cohort gave several intervals, as of so many that were each by itself. */
export function coverageInterval({ covered, coveredError, answered }: CalibrationRow): Interval | null {
  if (covered === null || answered === 0) return null;
  const variance = (coveredError ?? 0) ** 2;
  const alone = variance > 0 ? (covered * (1 - covered)) / variance : answered;
  return shareInterval(covered, alone, MONTE_CARLO_LEVEL);
}

export function meaningfulInterval({ meaningful, cohorts }: CalibrationRow): Interval | null {
  return meaningful === null ? null : shareInterval(meaningful, cohorts, MONTE_CARLO_LEVEL);
}

type Interval = [number, number];
