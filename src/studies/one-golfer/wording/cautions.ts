import type { Answers } from '../analysis/answers.ts';
import { reachesFive } from '../analysis/randomisation.ts';
import { type GolferSeries, patternOf } from '../input/series.ts';

/** What a reader must see before anything else. */
export function warningsOf({ randomisation, change, counts }: Answers): string[] {
  const warnings: string[] = [];
  if (randomisation.ok && !reachesFive(randomisation.table))
    warnings.push(
      'The design is too small to show by its draw that the training did it, whatever the numbers.',
    );
  if (change.method === 'noise')
    warnings.push(
      `With ${counts.before} and ${counts.after} sessions, how noisy this golfer is was taken from other golfers.`,
    );
  return warnings;
}

/** What stands against reading a change as the doing of the training. */
export function cautionsOf(
  { randomisation, smallest, detectable }: Answers,
  series: readonly GolferSeries[],
): string[] {
  const cautions: string[] = [];
  const patterns = series.map(patternOf);
  if (!(randomisation.ok && randomisation.table.drawn))
    cautions.push(
      'That a golfer changed does not show why. Weather, fitness, another lesson or a new club may have come with the training; only a start drawn at random beforehand speaks against that.',
    );
  if (patterns.some((pattern) => pattern.length > 2))
    cautions.push(
      'Phases that come and go take for granted that what was taught goes away when it is no longer practised. A movement that is learned may stay; a second A phase like the B before it is then no proof against the training.',
    );
  cautions.push(
    'One golfer speaks for one golfer: nothing here says what the training would do for another.',
  );
  if (smallest !== null && detectable !== null && smallest.value < detectable)
    cautions.push(
      'The smallest change that matters is less than what noise alone could make in this design: such a change could not be told from noise in this golfer.',
    );
  cautions.push(
    'Non-overlap measures say how often, not how much, and take sessions as unrelated; the share of B beyond the best of A alone is not given, since it rests on one session.',
  );
  return cautions;
}

/** What to do next, the most useful first. */
export function nextSteps(
  { randomisation, change, verdict, counts }: Answers,
  series: readonly GolferSeries[],
): string[] {
  const steps: string[] = [];
  if (randomisation.ok && randomisation.remedy !== '' && !reachesFive(randomisation.table))
    steps.push(`To let the draw decide: ${randomisation.remedy}.`);
  if (!(randomisation.ok && randomisation.table.drawn))
    steps.push(
      'Next time, draw the session with which the training begins at random, write it into a plan with the fewest sessions a phase may have, and lock the plan before the first session.',
    );
  if (change.method !== 'series')
    steps.push(
      `Measure more sessions: ${counts.before} before and ${counts.after} after are too few for the golfer's own noise to be known; three of each are the least, five or more are better.`,
    );
  if (verdict === 'cannot-tell' && change.method === 'series')
    steps.push(
      'More sessions in each phase narrow the interval; more swings in a session do so only little.',
    );
  if (series.some(({ retention }) => retention.length === 0))
    steps.push('Measure again some weeks later (phase retention), to see whether it lasted.');
  return steps;
}
