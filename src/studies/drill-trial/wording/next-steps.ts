import type { SmallestChange, Verdict } from '../../finding.ts';
import { amount, count } from '../../shared/words.ts';
import type { Effect } from '../analysis/effect.ts';
import type { FollowUps } from '../analysis/follow-ups.ts';
import type { Design } from '../input/design.ts';

const TOO_MANY = 1000;
const ENOUGH_TO_PLAN = 6;

/** What to do next, the most useful first. */
export function nextSteps(
  design: Design,
  verdict: Verdict,
  effect: Effect,
  smallest: SmallestChange | null,
  golfersPerArm: number,
  more: FollowUps,
  decimals: number,
  planned: boolean,
): string[] {
  const steps: string[] = [];
  if (design.kind === 'before-after')
    steps.push(
      'To learn whether the drill does it, let chance decide who starts now and who goes on with usual practice, and measure both.',
    );
  else if (verdict === 'meaningful')
    steps.push(
      'Worth keeping for golfers like these; look at the single golfers before promising it to one.',
    );
  else if (verdict === 'too-small-to-matter')
    steps.push(
      'For this number the drill, done this way, is not worth the time; change the drill or the number it is meant for.',
    );
  else if (verdict === 'opposite')
    steps.push('Stop the drill as it is done now, and find out why the number went the wrong way.');
  const sized = (effect.degreesOfFreedom ?? 0) >= ENOUGH_TO_PLAN;
  if (verdict === 'cannot-tell' && effect.value !== null && !sized)
    steps.push(
      'These are too few golfers even to say how many would be enough. Measure ten or more in each group, with eight or more swings at each visit.',
    );
  if (verdict === 'cannot-tell' && effect.interval !== null && smallest !== null && sized) {
    const half = (effect.interval[1] - effect.interval[0]) / 2;
    const needed = Math.ceil(golfersPerArm * Math.max(1, (half / smallest.value) ** 2));
    const size = amount(smallest.value, smallest.unit, decimals);
    const group = design.kind === 'parallel' ? 'in each arm' : 'in all';
    if (needed <= golfersPerArm)
      steps.push(
        `The interval is already narrower than ${size} either way: the effect lies near the border of what matters, and only many more golfers would settle on which side.`,
      );
    else if (needed > TOO_MANY)
      steps.push(
        `With golfers who vary like these, more than ${TOO_MANY} ${group} would be needed to settle a change of ${size}: measure more swings and visits for each, or choose a number that is less noisy.`,
      );
    else
      steps.push(
        `With golfers who vary like these, about ${count(needed, 'golfer')} ${group} would give an interval no wider than ${size} either way.`,
      );
  }
  if (typeof more.retention === 'string' && design.kind !== 'crossover' && design.kind !== 'stepped-start')
    steps.push(
      'Measure again after some weeks without the drill: a change that does not last is not learning.',
    );
  if (!planned)
    steps.push(
      'Write the next question down as a plan before the data come in: the number, the smallest change that matters, who is compared.',
    );
  return steps;
}
