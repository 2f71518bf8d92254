import type { StudyMetric } from '../../shared/study-metric.ts';
import { count } from '../../shared/words.ts';
import type { Answers } from '../analysis/ask.ts';
import { isStrikeLink } from '../analysis/strike.ts';
import { labelOf, leavesOut } from './shown.ts';

export function cautionsOf({ mediated, strikes }: Answers, metric: StudyMetric): string[] {
  return [
    'Swings as they came are no experiment: nobody told the golfers how to use the elbow. What is said is what goes together, not what a lesson would do; a drill trial answers that.',
    `The slope holds for differences as large as those seen from swing to swing. A step of 10 units is a way of telling it, not a promise for a golfer who changes that much.`,
    ...(mediated === null
      ? []
      : [
          `“By way of ${labelOf(mediated.mediator)}” takes for granted that nothing else moves both it and ${metric.label}; that cannot be seen in the data.`,
        ]),
    ...(strikes.some(({ link }) => isStrikeLink(link) && link.kind !== 'number')
      ? [
          'Odds ratios of the strike are for one golfer at a time, and their size depends on how much else moves the strike; compare them within this page only. Their chain was drawn as independent normals, since ratings cannot be refitted thousands of times here.',
        ]
      : []),
  ];
}

export function warningsOf({ slope, mixed }: Answers): string[] {
  const { golfers, sessions } = slope.frame;
  return [
    ...(golfers < 10
      ? [`Only ${count(golfers, 'golfer')}: one of them can turn the answer, and intervals are rough.`]
      : []),
    ...(sessions === golfers ? ['Each golfer was seen on one day only; other days may be otherwise.'] : []),
    ...(mixed?.notes ?? []),
  ];
}

export function nextSteps(
  { verdict, slope, mediated, smallest, answer }: Answers,
  planned: boolean,
): string[] {
  const steps: string[] = [];
  if (verdict === 'meaningful')
    steps.push(
      'Put it to the test: a drill that makes the elbow straighten earlier, half of the golfers by lot, and the same number afterwards.',
    );
  if (verdict === 'cannot-tell')
    steps.push(
      leavesOut(answer.interval)
        ? 'More swings of each golfer, over a wider range of elbow movement, would show whether it is enough to matter.'
        : 'Ask each golfer for swings with the elbow early, usual and late: a wider range tells more than more of the same.',
    );
  if (verdict === 'too-small-to-matter')
    steps.push(
      'Look elsewhere for what moves this number; this elbow movement does not go with enough of it.',
    );
  if (verdict === 'opposite')
    steps.push('Do not teach it for this purpose before a trial has shown otherwise.');
  if (slope.reliability === null)
    steps.push(
      'State the measurement SD of the elbow (a column that ends in _sd), so that the slope can be corrected.',
    );
  if (mediated === null)
    steps.push('Measure when the club is let go, so that the way of the effect can be looked at.');
  if (smallest?.from !== 'plan' || !planned)
    steps.push('Write a plan with the smallest difference that matters before the next swings are captured.');
  return steps;
}
