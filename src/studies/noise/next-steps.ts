import type { SmallestChange } from '../finding.ts';
import type { Agreement } from '../noise-tables.ts';
import type { StudyMetric } from '../shared/study-metric.ts';
import { amount, count, figure } from '../shared/words.ts';
import { fewestFor, type NoiseAnswer, type NoiseStanding } from './analyse.ts';
import type { AgreementStanding } from './answer-words.ts';
import type { Basis } from './basis.ts';

/** What to do about the noise, the most useful first. */
export function nextForNoise(
  answer: NoiseAnswer,
  smallest: SmallestChange | null,
  standing: NoiseStanding,
  basis: Basis,
  metric: Pick<StudyMetric, 'unit' | 'decimals'>,
): string[] {
  const steps: string[] = [];
  if (basis.kind !== 'repeats')
    steps.push(
      'Measure ten golfers or more twice within a week or two, with nothing taught in between: that alone tells how much one day differs from another.',
    );
  if (smallest !== null && answer.withSessions && answer.detectableNow !== null) {
    const d = amount(smallest.value, metric.unit, metric.decimals + 1);
    const fewest = fewestFor(answer, smallest.value);
    if (standing === 'seen')
      steps.push(
        `The present number of sessions and swings is enough to see ${d} in one golfer${
          fewest === null || fewest.sessions * fewest.swings >= answer.now.sessions * answer.now.swings
            ? '.'
            : `; ${count(fewest.sessions, 'session')} of ${count(fewest.swings, 'swing')} at each time would do.`
        }`,
      );
    else if (fewest !== null)
      steps.push(
        `By these estimates, ${count(fewest.sessions, 'session')} of ${count(fewest.swings, 'swing')} at each time would make a change of ${d} visible in one golfer. More swings in a session help only against the noise of swings; more sessions help against both.`,
      );
    else
      steps.push(
        `No reasonable number of sessions and swings makes a change of ${d} visible in one golfer: judge groups of golfers instead, or choose a number that is less noisy.`,
      );
  }
  if (smallest?.from === 'default')
    steps.push(
      'Say how small a change would still matter to a golfer, in a plan or with --change: the default is a convention.',
    );
  return steps;
}

export function nextForAgreement(
  agreement: Agreement,
  standing: AgreementStanding,
  metric: Pick<StudyMetric, 'unit' | 'decimals'>,
): string[] {
  const { slopeInterval: slope, mean, meanInterval } = agreement;
  const steps: string[] = [];
  if (standing === 'differ')
    steps.push('Use one of the two throughout, before and after, and for everybody who is compared.');
  if (standing === 'border') steps.push('Compare them on more golfers before taking one for the other.');
  if (meanInterval[0] > 0 || meanInterval[1] < 0)
    steps.push(
      `One reads ${amount(Math.abs(mean), metric.unit, metric.decimals + 1)} more on average. Taking that off helps the average, and leaves the spread of single differences as it is.`,
    );
  if (slope !== null && (slope[0] > 0 || slope[1] < 0))
    steps.push(
      `The difference changes with the size of the number (by ${figure(agreement.slope!, 2)} for each unit), so one constant taken off will not do.`,
    );
  return steps;
}

/** Cautions of this study first, then those that every page for a coach carries. */
export function noiseCautions(
  basis: Basis,
  agreement: Agreement | null,
  metric: Pick<StudyMetric, 'kind' | 'label'>,
  golfers: number,
): string[] {
  return [
    ...(basis.kind === 'untaught'
      ? ['The noise is that of golfers without the drill, over weeks. Over a few days it may be smaller.']
      : []),
    ...(metric.kind === 'number'
      ? []
      : [
          `${metric.label} is ${metric.kind === 'ordinal' ? 'a rating in steps' : 'a yes or no'}; SDs and limits take it for an even scale, which is rough.`,
        ]),
    ...(agreement?.kind === 'devices'
      ? [
          `The tables do not say which swing of '${agreement.first}' is which of '${agreement.second}': they are set against each other by golfer, date and number in the session.`,
        ]
      : []),
    ...(golfers < 5
      ? [
          `Fewer than 5 golfers: keep this report to yourself. No group of fewer than 5 belongs in a report meant for sharing.`,
        ]
      : []),
    'Noise is of these golfers, this set-up and these people handling it; another range has another noise.',
    'A change beyond noise is a change; what caused it, noise cannot say.',
    'Training load: stop at pain. Wrist, elbow and back complaints, and anything unusual in the growth of a child, belong to a licensed clinician.',
    'Measuring people needs their consent, for a minor that of a guardian, and follows the local rules on data protection and research ethics.',
  ];
}
