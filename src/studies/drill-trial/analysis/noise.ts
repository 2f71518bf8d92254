import { joinedSums, moments, type ValueSums, valueSums } from '../../../stats/index.ts';
import type { SwingGroup } from '../input/trial-data.ts';

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
export function noiseWithinGolfers(rows: readonly SwingGroup[]): Noise {
  const phases = new Map<string, Map<string, ValueSums[]>>();
  for (const row of rows) {
    const key = JSON.stringify([row.golfer, row.phase, row.period]);
    const sessions = phases.get(key) ?? new Map<string, ValueSums[]>();
    const own = sessions.get(row.session);
    if (own === undefined) sessions.set(row.session, [row]);
    else own.push(row);
    phases.set(key, sessions);
  }
  const visits = [...phases.values()].map((sessions) => [...sessions.values()].map(joinedSums));
  const swing = pooledVariance(visits.flat());
  const several = visits.filter((sessions) => sessions.length > 1);
  const between = pooledVariance(several.map((sessions) => valueSums(sessions.map(({ mean }) => mean))));
  if (swing === null || between === null || several.length < ENOUGH_PAIRS)
    return { swing: swing === null ? null : Math.sqrt(swing), session: null };
  const counts = several.flatMap((sessions) => sessions.map(({ count }) => 1 / count));
  const fromSwings = swing * moments(counts)!.mean;
  return { swing: Math.sqrt(swing), session: Math.sqrt(Math.max(0, between - fromSwings)) };
}

function pooledVariance(groups: readonly ValueSums[]): number | null {
  let [squares, df] = [0, 0];
  for (const group of groups) {
    squares += group.squares;
    df += group.count - 1;
  }
  return df === 0 ? null : squares / df;
}
