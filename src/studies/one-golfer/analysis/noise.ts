import { pooledSd } from '../../../stats/index.ts';
import type { RosterSession } from '../../shared/roster.ts';
import { count } from '../../shared/words.ts';
import type { GolferSeries } from '../input/series.ts';

/** The SD of a session mean around the golfer's own level, and whose sessions it is from. */
export interface SessionNoise {
  readonly sem: number;
  readonly degreesOfFreedom: number;
  readonly from: 'own' | 'roster';
  readonly words: string;
}

export interface NoiseSources {
  readonly own: SessionNoise | null;
  readonly roster: SessionNoise | null;
  /** The one that is used: the golfer's own where it rests on enough sessions, else the better known one. */
  readonly used: SessionNoise | null;
}

/** Below so many degrees of freedom an SD is known to no better than a factor of two (common practice, no source). */
export const ENOUGH_DF = 5;
/** Below so many nothing is said of noise. */
const LEAST_DF = 3;

/**
 * Measurement noise and day's form together: session means around the mean of their phase, pooled. The golfer's own sessions
 * first; else sessions of other golfers within one phase in which nothing was being taught (training is left out).
 */
export function noiseSources(
  series: readonly GolferSeries[],
  sessions: readonly RosterSession[],
  values: ReadonlyMap<string, readonly number[]>,
): NoiseSources {
  const asked = new Set(series.map(({ golfer }) => golfer));
  const own = sourceOf(
    series.flatMap(({ golfer, compared }) =>
      compared.map(({ run, mean }) => ({ key: `${golfer} ${run}`, mean })),
    ),
    'own',
    (sessionsUsed) =>
      `${asked.size === 1 ? "this golfer's" : "these golfers'"} own ${count(sessionsUsed, 'session')}, each against its phase`,
  );
  const roster = sourceOf(
    sessions
      .filter(
        ({ golfer, phase, session }) => !asked.has(golfer) && phase !== 'training' && values.has(session),
      )
      .map(({ golfer, phase, session }) => {
        const swings = values.get(session)!;
        return {
          key: JSON.stringify([golfer, phase]),
          mean: swings.reduce((sum, value) => sum + value, 0) / swings.length,
        };
      }),
    'roster',
    (sessionsUsed, groups) =>
      `${count(sessionsUsed, 'session')} in ${count(groups, 'phase')} of other golfers of the roster`,
  );
  const enough = (noise: SessionNoise | null) => noise !== null && noise.degreesOfFreedom >= ENOUGH_DF;
  const better = (own?.degreesOfFreedom ?? 0) >= (roster?.degreesOfFreedom ?? 0) ? own : roster;
  return { own, roster, used: enough(own) ? own : better };
}

function sourceOf(
  points: readonly { readonly key: string; readonly mean: number }[],
  from: SessionNoise['from'],
  words: (sessions: number, groups: number) => string,
): SessionNoise | null {
  const groups = new Map<string, number[]>();
  for (const { key, mean } of points) {
    const own = groups.get(key);
    if (own === undefined) groups.set(key, [mean]);
    else own.push(mean);
  }
  const several = [...groups.values()].filter((means) => means.length > 1);
  const pooled = pooledSd(several);
  if (pooled === null || !(pooled.sd > 0) || pooled.degreesOfFreedom < LEAST_DF) return null;
  const used = several.reduce((sum, means) => sum + means.length, 0);
  return {
    sem: pooled.sd,
    degreesOfFreedom: pooled.degreesOfFreedom,
    from,
    words: words(used, several.length),
  };
}
