import type { Check } from '../../finding.ts';
import type { StudyMetric } from '../../shared/study-metric.ts';
import { count, figure, percent } from '../../shared/words.ts';
import type { Answers } from '../analysis/ask.ts';
import { isShown } from '../analysis/curvature.ts';
import { differs, isRecorded } from '../analysis/held.ts';
import { LEAST_RELIABILITY } from '../analysis/reliability.ts';
import { reverseOf } from '../analysis/reverse.ts';
import { HELD_WORDS, type Held } from '../input/choice.ts';
import { isSummed, type Swings } from '../input/summed-swings.ts';
import type { Rivals } from './rivals.ts';
import { leavesOut } from './shown.ts';

/**
 * What would make the arrow wrong, one by one, each with what these data say of it. A cause that cannot be checked here is
 * listed too, and says so.
 */
export function arrowChecks(answers: Answers, swings: Swings, rivals: Rivals, metric: StudyMetric): Check[] {
  return [
    reverseCheck(answers, metric),
    dayCheck(answers, rivals),
    ...(['order', 'club', 'speed-intent', 'phase', 'device'] as const).map((held) =>
      heldCheck(held, answers, swings, rivals),
    ),
    skillCheck(answers),
    unmeasuredCheck(answers),
    errorCheck(answers),
    sharedErrorCheck(),
    curveCheck(answers),
  ];
}

function reverseCheck({ slope, level }: Answers, metric: StudyMetric): Check {
  const name = 'the arrow points the other way';
  const inSwing = `Inside one swing the elbow comes before impact, so ${metric.label} cannot move it; from swing to swing a golfer may react to the last one.`;
  if (slope.frame.each === null)
    return {
      name,
      outcome: 'not-possible',
      words: `${inSwing} Neighbouring swings cannot be looked at: the swings were summed by session where they are.`,
    };
  const back = reverseOf(slope.frame.each, slope.choice.predictor, metric.column, level);
  if (back === null)
    return {
      name,
      outcome: 'not-possible',
      words: `${inSwing} There are too few neighbouring swings to look.`,
    };
  const told = `${figure(back.standardised.value, 2)} SD of the next elbow change for 1 SD of ${metric.label} (${percent(level, 1)} interval ${back.standardised.interval?.map((end) => figure(end, 2)).join(' to ') ?? 'none'}; ${count(back.pairs, 'pair')} of swings)`;
  return leavesOut(back.standardised.interval)
    ? {
        name,
        outcome: 'look',
        words: `${inSwing} The swing before does tell something of the next elbow: ${told}.`,
      }
    : {
        name,
        outcome: 'good',
        words: `${inSwing} The swing before tells nothing of the next elbow that can be seen: ${told}.`,
      };
}

function dayCheck(answers: Answers, rivals: Rivals): Check {
  const name = 'the day moves both';
  if (answers.slope.frame.sessions <= answers.slope.frame.golfers)
    return {
      name,
      outcome: 'good',
      words: 'Each golfer came once, so all comparisons are within a day already.',
    };
  return compared(name, 'within one day', answers, rivals);
}

function heldCheck(held: Held, answers: Answers, swings: Swings, rivals: Rivals): Check {
  const name = `common cause: ${HELD_WORDS[held]}`;
  if (!isRecorded(held, isSummed(swings) ? swings : answers.slope.frame.each!))
    return { name, outcome: 'not-possible', words: 'It was not recorded.' };
  if (!differs(held, isSummed(swings) ? swings : answers.slope.frame.each!))
    return {
      name,
      outcome: 'good',
      words: 'It is the same at every swing.',
    };
  return compared(name, `with ${HELD_WORDS[held]} held`, answers, rivals);
}

/** How far holding something moves the slope: a fifth of it, or a quarter of its interval, is worth a look. */
function compared(name: string, way: string, { answer, verdict }: Answers, rivals: Rivals): Check {
  const row = rivals.ways.find((one) => one.name === way);
  if (row?.perStep == null)
    return { name, outcome: 'not-possible', words: 'It could not be held with these swings.' };
  const moved = row.perStep.value - answer.value;
  const width = answer.interval === null ? 0 : answer.interval[1] - answer.interval[0];
  const large = Math.abs(moved) > Math.max(0.2 * Math.abs(answer.value), 0.25 * width);
  const told = `Held, the slope is ${figure(row.perStep.value, 2)} instead of ${figure(answer.value, 2)} ${row.unit}.`;
  if (row.verdict !== verdict)
    return { name, outcome: 'look', words: `${told} The verdict becomes another.` };
  return large
    ? { name, outcome: 'look', words: `${told} That moves it by more than a fifth.` }
    : { name, outcome: 'good', words: `${told} It changes little.` };
}

function skillCheck({ contextual }: Answers): Check {
  const name = 'golfers differ in more than their elbows';
  if (contextual === null)
    return { name, outcome: 'not-possible', words: 'There are too few golfers to compare.' };
  return {
    name,
    outcome: 'good',
    words: `Skill, build and lessons differ between golfers; the answer compares each golfer only with him- or herself, so they cannot make it. ${
      leavesOut(contextual.interval)
        ? 'The slope between golfers is another one, which shows that they would have.'
        : 'The slope between golfers cannot be told from it.'
    }`,
  };
}

function unmeasuredCheck({ unmeasured, answer, slope }: Answers): Check {
  const name = 'something unmeasured moves both from swing to swing';
  if (unmeasured === null || !leavesOut(answer.interval))
    return {
      name,
      outcome: 'not-possible',
      words: 'There is no link that can be told from none, so there is nothing to explain away.',
    };
  const strongest = [...unmeasured.benchmarks].sort((a, b) => a.left - b.left)[0];
  const scale =
    strongest === undefined
      ? 'Nothing measured gives it a scale.'
      : `A cause as strong as ${labelled(strongest.column)} would leave ${percent(Math.max(0, strongest.left))} of the slope.`;
  const weak = unmeasured.intervalToZero < 0.05 || (strongest !== undefined && strongest.left < 0.5);
  return {
    name,
    outcome: weak ? 'look' : 'good',
    words: `It would have to explain ${percent(unmeasured.intervalToZero, 1)} of what varies in both for the interval to reach no link, ${percent(unmeasured.toZero, 1)} to leave none at all${
      unmeasured.belowSmallest === null
        ? ''
        : `, ${percent(unmeasured.belowSmallest, 1)} to leave less than matters`
    }; the elbow itself goes with ${percent(unmeasured.partialR2, 1)} of what varies in the outcome${slope.corrected === null ? '' : ' (as measured)'}. ${scale}`,
  };
}

function labelled(column: string): string {
  return column === 'pelvis_turn_impact_deg'
    ? 'pelvis turn at impact'
    : column === 'thorax_turn_impact_deg'
      ? 'thorax turn at impact'
      : column;
}

function errorCheck({ slope }: Answers): Check {
  const name = 'measurement error of the elbow';
  const { reliability, choice } = slope;
  if (reliability === null)
    return {
      name,
      outcome: 'look',
      words: `No measurement SD is stated (${choice.predictor}_sd), so the slope could not be corrected and is drawn towards zero by an unknown amount.`,
    };
  const share = percent(reliability.share);
  if (reliability.share < LEAST_RELIABILITY)
    return {
      name,
      outcome: 'bad',
      words: `Only ${share} of what varies from swing to swing is more than the stated measurement error. The slope is given as measured and is drawn towards zero; measure better, or more widely differing swings.`,
    };
  const partly =
    reliability.stated < 0.999
      ? ` ${percent(reliability.stated)} of the swings state an SD; for the others the mean one was taken.`
      : '';
  return {
    name,
    outcome: reliability.share < 0.6 ? 'look' : 'good',
    words: `${share} of what varies from swing to swing is taken as true, and the slope corrected for the rest.${partly} Errors that a whole session shares (where markers were put) are not in the stated SDs.`,
  };
}

function sharedErrorCheck(): Check {
  return {
    name: 'both are measured from the same frames',
    outcome: 'not-possible',
    words:
      'An error of the frames or of the moment of impact that enters elbow and outcome alike would look like a link. Two devices, one for each, would tell.',
  };
}

function curveCheck({ strikes, slope }: Answers): Check {
  const name = 'more is not always better';
  const curves = strikes.flatMap(({ curvature }) => (curvature === null ? [] : [curvature]));
  if (curves.length === 0 && slope.frame.each === null)
    return {
      name,
      outcome: 'not-possible',
      words: 'A curve needs each swing; the swings were summed by session where they are.',
    };
  if (curves.length === 0)
    return { name, outcome: 'not-possible', words: 'No strike was recorded that could tell.' };
  const turning = curves.filter(isShown);
  return turning.length === 0
    ? {
        name,
        outcome: 'good',
        words: `Within the span of these swings no strike turns the other way (${count(slope.frame.size, 'swing')}).`,
      }
    : {
        name,
        outcome: 'look',
        words: `The strike turns within the span of these swings; beyond the turning point more is no gain. See the curve.`,
      };
}
