import { amount, count, difference, percent } from '../shared/words.ts';
import { MOST_GOLFERS } from './find-size.ts';
import type { PlannedKind } from './planned-design.ts';
import { golfersStaying } from './planned-design.ts';
import type { Settled } from './settle.ts';
import type { Sizes } from './size-study.ts';

/** What a plan comes to. */
export type PlanOutcome =
  | 'wrong-way'
  | 'effect-too-small'
  | 'beyond-reach'
  | 'golfers-found'
  | 'golfers-enough'
  | 'golfers-too-few';

/** Which of the things that can be said is to be said. */
export function outcomeOf({ golfers, chance }: Settled, { goal, found, meaningful }: Sizes): PlanOutcome {
  if (goal.effect <= 0) return 'wrong-way';
  if (goal.effect <= goal.smallest) return 'effect-too-small';
  if (golfers !== null) return meaningful.value >= chance ? 'golfers-enough' : 'golfers-too-few';
  return found === null ? 'beyond-reach' : 'golfers-found';
}

/** The answer in a sentence or two. */
export function answerOf(settled: Settled, sizes: Sizes): string {
  const { metric, smallest, effect, point, golfers, chance, analysis } = settled;
  const { found, meaningful, tooSmall } = sizes;
  const none = ` If there is no effect at all, a study of that size says so ('too small to matter') with ${percent(tooSmall.value)} chance, and else cannot tell.`;
  const shown = { ...metric, level: analysis.level };
  const assumed = difference(effect, shown);
  const least = amount(smallest.value, metric.unit, metric.decimals);
  const visits = visitWords(point.kind, point.sessions, point.swings);
  const if_ = `if ${drillOf(point.kind)} truly makes ${metric.label} ${assumed} and ${least} is the smallest change that matters`;
  const needed = found === null ? '' : sizeWords(found.golfers, settled);
  switch (outcomeOf(settled, sizes)) {
    case 'wrong-way':
      return `No number of golfers would show it: the assumed effect, ${assumed}, goes the wrong way.`;
    case 'effect-too-small':
      return `No number of golfers would show it: the assumed effect, ${assumed}, is no larger than ${least}, the smallest change that matters.`;
    case 'beyond-reach':
      return `More than ${MOST_GOLFERS} golfers would be needed for ${percent(chance)} chance of the verdict 'a change that matters', with ${visits}, ${if_}.`;
    case 'golfers-found':
      return `${needed}, with ${visits}, have ${percent(chance)} chance of the verdict 'a change that matters' ${if_}.${none}`;
    case 'golfers-enough':
      return `${sizeWords(golfers!, settled)}, with ${visits}, have ${percent(meaningful.value)} chance of the verdict 'a change that matters' ${if_}: that is enough for the wished ${percent(chance)}.${none}`;
    case 'golfers-too-few':
      return `${sizeWords(golfers!, settled)}, with ${visits}, have only ${percent(meaningful.value)} chance of the verdict 'a change that matters' ${if_}; ${
        found === null
          ? `even ${MOST_GOLFERS} golfers would not do for ${percent(chance)}`
          : `${percent(chance)} takes ${count(found.golfers, 'golfer')} in all`
      }.`;
  }
}

/** `44 golfers (22 in each arm)`, and how many of them are expected to be there at the end. */
export function sizeWords(golfers: number, { point }: Pick<Settled, 'point'>): string {
  const { kind, controlShare, leaving } = point;
  const control = Math.round(golfers * controlShare);
  const parts: string[] = [];
  if (kind === 'parallel' || kind === 'after-only')
    parts.push(
      control * 2 === golfers
        ? `${control} in each arm`
        : `${control} in the control, ${golfers - control} with the drill`,
    );
  if (leaving > 0) parts.push(`${golfersStaying({ ...point, golfers })} expected to stay to the end`);
  return `${count(golfers, 'golfer')}${parts.length === 0 ? '' : ` (${parts.join('; ')})`}`;
}

/** `one session of 10 full swings before and one after`. */
export function visitWords(kind: PlannedKind, sessions: number, swings: number): string {
  const each = `${sessions === 1 ? 'one session' : `${sessions} sessions`} of ${swings} full swings`;
  if (kind === 'crossover') return `${each} after each of the two periods`;
  if (kind === 'after-only') return `${each} after the drill and none before`;
  return `${each} before and ${sessions === 1 ? 'one' : `${sessions}`} after`;
}

function drillOf(kind: PlannedKind): string {
  return kind === 'before-after' ? 'what happens between' : 'the drill';
}
