import type { Model } from '../../../stats/index.ts';
import type { GolferChange } from '../../drill-trial-tables.ts';
import { attempt } from './cell-model.ts';
import { type Effect, effectOf } from './effect.ts';

export interface Dose {
  /** Difference in the value after for each 100 repetitions more, golfers with the same value before compared. */
  readonly per100: Effect;
  readonly golfers: number;
  readonly model: unknown;
}

const ENOUGH = 5;

/**
 * Does more practice go with more change, within the golfers who did the drill: the value after on the value
 * before and the repetitions, by least squares over golfers. Nobody was told by chance how much to practise, so a
 * slope is not the effect of practice. Text when the question cannot be answered.
 */
export function analyseDose(golfers: readonly GolferChange[], level: number): Dose | string {
  const logged = golfers.filter((golfer) => golfer.role === 'drill' && golfer.reps !== null);
  if (logged.length === 0)
    return 'No practice with repetitions was logged for the golfers who did the drill.';
  const used = logged.filter((golfer) => golfer.before !== null && golfer.after !== null);
  if (used.length < ENOUGH)
    return `Only ${used.length} golfers who did the drill have logged repetitions and values before and after; a slope needs ${ENOUGH}.`;
  if (used.every((golfer) => golfer.reps === used[0]!.reps))
    return `Every golfer logged the same ${used[0]!.reps} repetitions, so more cannot be compared with less.`;
  const model: Model = {
    outcome: 'after',
    distribution: 'normal',
    fixed: ['intercept', { column: 'before' }, { column: 'hundred_reps' }],
    inference: { degreesOfFreedom: 'residual', level },
  };
  const fit = attempt(model, {
    after: used.map((golfer) => golfer.after),
    before: used.map((golfer) => golfer.before),
    hundred_reps: used.map((golfer) => golfer.reps! / 100),
  });
  if (typeof fit === 'string') return `The slope on practice could not be estimated: ${fit}.`;
  return {
    per100: effectOf(fit.combine({ fixed: { hundred_reps: 1 } }, level)),
    golfers: used.length,
    model,
  };
}
