import { moments } from '../../../stats/index.ts';
import type { TrialRow } from '../input/trial-data.ts';

/** SDs within a golfer: from swing to swing, and from session to session; null where the data cannot tell. */
export interface Noise {
  readonly swing: number | null;
  readonly session: number | null;
}

const ENOUGH_PAIRS = 3;

/**
 * Noise by pooled moments: swings around the mean of their session; session means around the mean of the golfer's
 * phase, less what swings contribute. It looks within golfers only, so that golfers picked for their values, who
 * spread less than others, do not make it look smaller (a fitted model would share the error out).
 */
export function noiseWithinGolfers(rows: readonly TrialRow[]): Noise {
  const phases = new Map<string, Map<string, number[]>>();
  for (const row of rows) {
    const key = JSON.stringify([row.golfer, row.phase, row.period]);
    const sessions = phases.get(key) ?? new Map<string, number[]>();
    sessions.set(row.session, [...(sessions.get(row.session) ?? []), row.value]);
    phases.set(key, sessions);
  }
  const within = [...phases.values()].flatMap((sessions) => [...sessions.values()]);
  const swing = pooledVariance(within);
  const several = [...phases.values()].filter((sessions) => sessions.size > 1);
  const between = pooledVariance(
    several.map((sessions) => [...sessions.values()].map((values) => moments(values)!.mean)),
  );
  if (swing === null || between === null || several.length < ENOUGH_PAIRS)
    return { swing: swing === null ? null : Math.sqrt(swing), session: null };
  const counts = several.flatMap((sessions) => [...sessions.values()].map((values) => 1 / values.length));
  const fromSwings = swing * moments(counts)!.mean;
  return { swing: Math.sqrt(swing), session: Math.sqrt(Math.max(0, between - fromSwings)) };
}

function pooledVariance(groups: readonly (readonly number[])[]): number | null {
  let squares = 0;
  let df = 0;
  for (const values of groups) {
    const own = moments(values);
    if (own === null || own.sd === null) continue;
    squares += own.sd ** 2 * (own.n - 1);
    df += own.n - 1;
  }
  return df === 0 ? null : squares / df;
}
