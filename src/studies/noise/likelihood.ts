import { fitModel, type Model, profileIntervals } from '../../stats/index.ts';
import type { Basis } from './basis.ts';

/** SDs by restricted maximum likelihood, with profile intervals; null where it was not to be had. */
export interface LikelihoodSds {
  readonly golfer: number | null;
  readonly golferInterval: readonly [number, number] | null;
  readonly session: number | null;
  readonly sessionInterval: readonly [number, number] | null;
  readonly swing: number;
  readonly swingInterval: readonly [number, number] | null;
  readonly model: Model;
}

/** Beyond this many sessions the profile would take longer than it is worth; the moments stand alone. */
const MOST_SESSIONS = 2000;

/** The same variances by a mixed model: golfers, sessions in golfers, swings; what sessions share as a fixed effect. */
export function likelihoodSds({ rows, shared }: Basis, level: number): LikelihoodSds | null {
  const sessions = new Set(rows.map(({ session }) => session)).size;
  const golfers = new Set(rows.map(({ golfer }) => golfer)).size;
  if (sessions > MOST_SESSIONS || golfers < 2 || rows.length === sessions) return null;
  const labels = shared === undefined ? [] : [...new Set(rows.map(({ session }) => shared(session)))].sort();
  const repeated = sessions > golfers;
  const model: Model = {
    outcome: 'value',
    fixed: ['intercept', ...(labels.length > 1 ? [{ column: 'time', levels: labels } as const] : [])],
    random: [
      { group: 'golfer', effects: ['intercept'] },
      ...(repeated ? [{ group: ['golfer', 'session'], effects: ['intercept'] } as const] : []),
    ],
    inference: { level },
  };
  const outcome = fitModel(model, {
    value: rows.map(({ value }) => value),
    golfer: rows.map(({ golfer }) => golfer),
    session: rows.map(({ session }) => session),
    ...(labels.length > 1 ? { time: rows.map(({ session }) => shared!(session)) } : {}),
  });
  if (!outcome.ok || !outcome.fit.result.diagnosis.converged) return null;
  const { random, residualSd } = outcome.fit.result;
  const profiles = profileIntervals(
    outcome.fit,
    [
      ...random.map(({ group }) => ({ kind: 'sd', group, effect: 'intercept' }) as const),
      { kind: 'residual-sd' } as const,
    ],
    level,
  ).map(({ interval }) => (interval.every(Number.isFinite) ? interval : null));
  return {
    golfer: random[0]?.sd[0] ?? null,
    golferInterval: profiles[0] ?? null,
    session: random[1]?.sd[0] ?? null,
    sessionInterval: random.length > 1 ? (profiles[1] ?? null) : null,
    swing: residualSd,
    swingInterval: profiles.at(-1) ?? null,
    model,
  };
}
