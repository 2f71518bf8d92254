import type { Stream } from '../../numerics/index.ts';
import type { Recipe } from '../recipe/recipe.ts';

type Log = Recipe['practiceLog'];

/** A bout of practice: so many days after the practice window opened. */
export interface Bout {
  readonly day: number;
  readonly reps: number;
  readonly speedPct: number;
  readonly distanceM: number;
  /** Repetitions in which the ground came first. */
  readonly groundFirst: number;
}

/** A bout that was done: its place among those planned, and its repetitions. */
export interface Effort {
  readonly planned: number;
  readonly reps: number;
}

/** The bouts a golfer does out of those planned. */
export function drawEfforts(log: Log, stream: Stream): Effort[] {
  const { mean, halfWidth } = log.adherence;
  const adherence = mean + halfWidth * (2 * stream.uniform() - 1);
  const efforts: Effort[] = [];
  for (let planned = 0; planned < log.weeks * log.boutsPerWeek; planned++)
    if (stream.bernoulli(adherence))
      efforts.push({ planned, reps: stream.integer(log.reps.from, log.reps.to) });
  return efforts;
}

/** The bouts as a golfer logs them. */
export function drawBouts(recipe: Recipe, stream: Stream): Bout[] {
  const log = recipe.practiceLog;
  const speed = recipe.session.speedIntentPct;
  const details = stream.sub('details');
  return drawEfforts(log, stream).map(({ planned, reps }) => {
    let groundFirst = 0;
    for (let rep = 0; rep < reps; rep++) if (details.bernoulli(log.groundFirstShare)) groundFirst++;
    return {
      day: Math.floor((planned * 7) / log.boutsPerWeek),
      reps,
      speedPct: details.integer(speed.from, speed.to),
      distanceM: details.integer(log.distanceM.from, log.distanceM.to),
      groundFirst,
    };
  });
}

/** Repetitions done, as a multiple of what is done on average. Its mean over golfers is exactly 1. */
export function relativeDose(log: Log, bouts: readonly { readonly reps: number }[]): number {
  const expected = log.weeks * log.boutsPerWeek * log.adherence.mean * ((log.reps.from + log.reps.to) / 2);
  if (expected === 0) return 1;
  return bouts.reduce((sum, bout) => sum + bout.reps, 0) / expected;
}

/** What the drill's effect is multiplied by at a relative dose; its mean over golfers is exactly 1. */
export function doseMultiplier(doseShare: number, dose: number): number {
  return 1 + doseShare * (dose - 1);
}

/** Variance of the relative dose over golfers: Var = E[Var | adherence] + Var[E | adherence]. */
export function relativeDoseVariance(log: Log): number {
  const n = log.weeks * log.boutsPerWeek;
  const { mean: p, halfWidth } = log.adherence;
  const { from, to } = log.reps;
  if (n === 0 || p === 0) return 0;
  const reps = (from + to) / 2;
  const repsSquared = reps ** 2 + ((to - from + 1) ** 2 - 1) / 12;
  const adherenceVariance = halfWidth ** 2 / 3;
  const withinGolfer = n * (p * repsSquared - (p ** 2 + adherenceVariance) * reps ** 2);
  const betweenGolfers = n ** 2 * reps ** 2 * adherenceVariance;
  return (withinGolfer + betweenGolfers) / (n * p * reps) ** 2;
}
