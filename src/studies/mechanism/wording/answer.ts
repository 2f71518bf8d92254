import { standingOf } from '../../shared/standing.ts';
import type { StudyMetric } from '../../shared/study-metric.ts';
import {
  amount,
  decimalsToShow,
  difference,
  directionWords,
  intervalOfDifference,
  percent,
  type Shown,
} from '../../shared/words.ts';
import type { Answers } from '../analysis/ask.ts';
import { times } from '../analysis/estimate.ts';
import { perStep, stepOf } from '../input/columns.ts';
import { labelOf, leavesOut, withInterval } from './shown.ts';

/** The answer in sentences: the slope inside golfers against what matters, the slope between them, the way, the doubt. */
export function answerOf(answers: Answers, metric: StudyMetric): string {
  return [
    slopeSentence(answers, metric),
    betweenSentence(answers, metric),
    routeSentence(answers, metric),
    doubtSentence(answers),
  ]
    .filter((sentence) => sentence !== '')
    .join(' ');
}

function shownAs({ answer, smallest, level }: Answers, metric: StudyMetric): Shown {
  return {
    column: metric.column,
    unit: metric.unit,
    decimals: decimalsToShow(answer.interval, smallest?.value ?? null, metric.decimals),
    level,
  };
}

/** The slope inside golfers, where its interval stands, and what follows. One rule for each standing. */
export function slopeSentence(answers: Answers, metric: StudyMetric): string {
  const { answer, smallest, slope } = answers;
  const shown = shownAs(answers, metric);
  const size = difference(answer.value, shown);
  const range = answer.interval === null ? '' : ` (${intervalOfDifference(answer.interval, shown)})`;
  const fact = `In one and the same golfer, when ${stepOf(slope.choice.predictor).step}, ${metric.label} was ${size}${range}`;
  if (smallest === null)
    return `${fact}. Whether that matters cannot be said: nothing tells how large a difference would.`;
  const limit = amount(smallest.value, metric.unit, shown.decimals);
  switch (standingOf(answer.interval, smallest)) {
    case 'beyond-good':
      return `${fact}: more than the ${limit} that matters, the good way.`;
    case 'beyond-bad':
      return `${fact}: more than the ${limit} that matters, but the wrong way.`;
    case 'beyond-either':
      return `${fact}: more than the ${limit} that matters; which way is better is not laid down for this number.`;
    case 'inside':
      return `${fact}: less than the ${limit} that matters, whichever end of the interval is true.`;
    case 'changed-maybe-too-little':
      return `${fact}. They go together${metric.goodDirection === 0 ? '' : ', the good way'}, but whether by the ${limit} that matters these swings cannot tell.`;
    case 'worse-maybe-too-little':
      return `${fact}. They go together the wrong way; whether by the ${limit} that matters these swings cannot tell.`;
    case 'harm-ruled-out':
      return `${fact}. That is no proof of a link; a link the wrong way by ${limit} is ruled out, one the good way is not.`;
    case 'benefit-ruled-out':
      return `${fact}. That is no proof of a link; a link the good way by ${limit} is ruled out, one the wrong way is not.`;
    case 'anything':
      return `${fact}. Anything from a link that matters one way to one the other way fits these swings: they cannot tell.`;
    case 'no-interval':
      return `${fact}, without an interval: these swings cannot tell.`;
  }
}

/** The slope between golfers, and whether it is another one. */
export function betweenSentence(answers: Answers, metric: StudyMetric): string {
  const { slope, mixed, contextual, level } = answers;
  const { choice } = slope;
  const between = mixed?.between[choice.predictor];
  if (between === undefined || contextual === null)
    return 'There are too few golfers for a slope between them.';
  const factor = perStep(choice.predictor);
  const told = times(between, factor);
  const gap = times(contextual, factor);
  const shown = {
    ...shownAs(answers, metric),
    decimals: decimalsToShow(told.interval, null, metric.decimals),
  };
  const fact = `Between golfers the same step goes with ${metric.label} ${difference(told.value, shown)}${
    told.interval === null ? '' : ` (${intervalOfDifference(told.interval, shown)})`
  }`;
  return leavesOut(gap.interval)
    ? `${fact}, which is not the same slope (${withInterval(gap, metric.unit, level, metric.decimals)} apart): golfers differ in more than their elbows, so comparing golfers with each other would have misled here.`
    : `${fact}; that compares different people and is no answer to what one golfer should do.`;
}

/** How much goes by way of the release. */
export function routeSentence({ mediated, slope, level }: Answers, metric: StudyMetric): string {
  if (slope.choice.mediator === null)
    return 'When the club was let go was not measured, so which way the link goes cannot be told.';
  if (mediated === null)
    return `Which part goes by way of ${labelOf(slope.choice.mediator)} could not be estimated.`;
  const through = times(
    { ...mediated.chain.routes[0]!.estimate, degreesOfFreedom: null },
    perStep(slope.choice.predictor),
  );
  const way = `by way of ${labelOf(mediated.mediator)}`;
  const told = withInterval(through, metric.unit, level, metric.decimals);
  if (!leavesOut(through.interval)) return `How much of it goes ${way} cannot be told: ${told}.`;
  return `Of this, ${told} goes ${way}, ${directionWords(metric.column, through.value)}, if the arrows are right.`;
}

/** How strong an unmeasured cause would have to be. */
export function doubtSentence({ unmeasured, answer }: Answers): string {
  const opening = 'A link in a roster is no proof of cause';
  if (unmeasured === null || !leavesOut(answer.interval)) return `${opening}.`;
  const share = percent(unmeasured.intervalToZero);
  return `${opening}: something unmeasured that explains ${share} of what varies in both from swing to swing would be enough to explain it away.`;
}

/** The question as a sentence. */
export function questionOf(answers: Answers, metric: StudyMetric, planned: string | undefined): string {
  if (planned !== undefined) return planned;
  return `Does ${stepOf(answers.slope.choice.predictor).short} go with a change of ${metric.label} in one and the same golfer, and by which way?`;
}
