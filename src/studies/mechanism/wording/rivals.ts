import type { Plan } from '../../../dataset/index.ts';
import type { Sensitivity, SmallestChange, Verdict } from '../../finding.ts';
import type { MechanismWay } from '../../mechanism-tables.ts';
import { verdictOf } from '../../shared/standing.ts';
import type { StudyMetric } from '../../shared/study-metric.ts';
import type { Answers } from '../analysis/ask.ts';
import { type Found, times } from '../analysis/estimate.ts';
import { differs } from '../analysis/held.ts';
import { jointCorrection } from '../analysis/joint-correction.ts';
import { HELD_WORDS, type Held, type MechanismChoice, RULE_WORDS, type SwingRule } from '../input/choice.ts';
import { PREDICTORS, perStep, slopeUnit, stepOf } from '../input/columns.ts';
import { isSummed, type Swings } from '../input/summed-swings.ts';
import { answerUnder, type MechanismAnswer } from '../mechanism-under.ts';
import { estimate, withInterval } from './shown.ts';

const HELD: readonly Held[] = ['order', 'club', 'speed-intent', 'phase', 'device', 'pelvis-turn'];
const RULES: readonly SwingRule[] = ['not-the-first-two', 'without-outliers', 'baseline-only'];

interface Way {
  readonly name: string;
  readonly what: string;
  readonly choice: MechanismChoice;
}

export interface Rivals {
  readonly sensitivity: readonly Sensitivity[];
  readonly ways: readonly MechanismWay[];
}

/** The question again under every other reasonable choice, each with what it shows. */
export function rivalsOf(full: Swings, answers: Answers, metric: StudyMetric, plan: Plan | null): Rivals {
  const { slope, level, smallest, verdict } = answers;
  const planned = plan?.smallestChangeThatMatters ?? null;
  const asked = answerUnder(full, slope.choice, level, planned);
  const tried = waysOf(full, answers).map((way) => ({
    way,
    answer: onOneScale(answerUnder(full, way.choice, level, planned), asked, smallest),
  }));
  const joint = jointCorrection(slope.frame, slope.choice.predictor, metric.column, level);
  const jointAnswer =
    joint === null || slope.corrected === null ? null : times(joint.slope, perStep(slope.choice.predictor));
  return {
    sensitivity: [
      ...tried.map(({ way, answer }) => entry(way, answer, asked, verdict, level, metric)),
      ...(jointAnswer === null
        ? []
        : [
            {
              name: 'measurement error by a joint model',
              what: 'Elbow and outcome modelled together, the measurement SD of each swing given; golfers’ own levels, one slope for all, no days.',
              estimate: estimate(
                'joint',
                'by a joint model',
                jointAnswer,
                slopeUnit(metric.column, slope.choice.predictor),
                level,
                'The slope on the true elbow values.',
              ),
              verdict:
                smallest === null ? ('cannot-tell' as const) : verdictOf(jointAnswer.interval, smallest),
              words: `It gives ${withInterval(jointAnswer, metric.unit, level, metric.decimals)}. Two ways of correcting should agree; where they do not, golfers differ in how noisy they are or in their slopes.`,
            },
          ]),
    ],
    ways: [wayRow('as asked', asked), ...tried.map(({ way, answer }) => wayRow(way.name, answer))],
  };
}

function waysOf(full: Swings, { slope }: Answers): Way[] {
  const { choice, frame, corrected } = slope;
  const present = (column: string) =>
    isSummed(full)
      ? (full.sums.known.get(column) ?? 0) > 0
      : full.some(({ values }) => (values[column] ?? null) !== null);
  return [
    ...PREDICTORS.filter((column) => column !== choice.predictor && present(column)).map((predictor) => ({
      name: `another definition: ${stepOf(predictor).short}`,
      what: 'Early straightening measured in another way. Compared, and judged, for one SD of each inside golfers, since the units differ.',
      choice: { ...choice, predictor },
    })),
    ...(corrected === null
      ? []
      : [
          {
            name: 'measurement error left alone',
            what: 'The slope as measured.',
            choice: { ...choice, corrected: false },
          },
        ]),
    ...(frame.sessions > frame.golfers && choice.within === 'golfer'
      ? [
          {
            name: 'within one day',
            what: 'Swings compared only with others of the same session: whatever differs between days (warmth, sleep, teaching, where markers were put) is out of it.',
            choice: { ...choice, within: 'session' as const },
          },
        ]
      : []),
    ...HELD.filter(
      (held) => !choice.held.includes(held) && differs(held, isSummed(full) ? full : frame.each!),
    ).map((held) => ({
      name: `with ${HELD_WORDS[held]} held`,
      what:
        held === 'pelvis-turn'
          ? 'If the body’s turn moves both, holding it takes that away; if it carries the effect, holding it takes too much.'
          : 'A common cause that would bring elbow and outcome together by itself.',
      choice: { ...choice, held: [...choice.held, held] },
    })),
    ...RULES.filter((rule) => rule !== choice.rule && changes(rule, full)).map((rule) => ({
      name: RULE_WORDS[rule],
      what: 'Other swings counted.',
      choice: { ...choice, rule },
    })),
  ];
}

/**
 * All ways on one scale. Where the number is the same, one SD is that of the swings as asked: within a day swings differ less,
 * which says nothing about the slope. A step of 10 ms is not a step of 10 deg: another definition is judged by one SD of it
 * inside golfers, against what one SD of the elbow's number as asked would have to go with.
 */
function onOneScale(
  answer: MechanismAnswer,
  asked: MechanismAnswer,
  smallest: SmallestChange | null,
): MechanismAnswer {
  if (asked.perSd === null || asked.perStep === null || answer.perStep === null || answer.perSd === null)
    return answer;
  const size = Math.abs(asked.perSd.value / asked.perStep.value);
  if (answer.choice.predictor === asked.choice.predictor)
    return { ...answer, perSd: times(answer.perStep, size) };
  if (smallest === null) return answer;
  const value = smallest.value * size;
  return { ...answer, verdict: verdictOf(answer.perSd.interval, { ...smallest, value }) };
}

function changes(rule: SwingRule, full: Swings): boolean {
  if (isSummed(full)) {
    if (rule === 'without-outliers') return false;
    if (rule !== 'baseline-only') return true;
    const phases = new Set(full.sessions.map((session) => session?.phase));
    return phases.has('baseline') && [...phases].some((phase) => phase !== undefined && phase !== 'baseline');
  }
  if (rule === 'baseline-only') {
    const before = full.filter(({ phase }) => phase === 'baseline').length;
    return before > 0 && before < full.length;
  }
  return true;
}

function entry(
  { name, what }: Way,
  answer: MechanismAnswer,
  asked: MechanismAnswer,
  verdict: Verdict,
  level: number,
  metric: StudyMetric,
): Sensitivity {
  const { perStep: told, perSd, unit } = answer;
  if (told === null)
    return {
      name,
      what,
      estimate: null,
      verdict: 'cannot-tell',
      words: `It cannot be told this way: ${answer.why}.`,
    };
  const same = answer.verdict === verdict ? 'The verdict stays.' : 'The verdict becomes another.';
  const other = answer.choice.predictor !== asked.choice.predictor;
  return {
    name,
    what,
    estimate: estimate('way', name, told, unit, level, what),
    verdict: answer.verdict,
    words: `It gives ${withInterval(told, unit, level, metric.decimals)}.${
      other && perSd !== null && asked.perSd !== null
        ? ` For one SD inside golfers that is ${withInterval(perSd, metric.unit, level, metric.decimals)}, against ${withInterval(asked.perSd, metric.unit, level, metric.decimals)} as asked.`
        : ''
    } ${same}`,
  };
}

function wayRow(name: string, answer: MechanismAnswer): MechanismWay {
  const bare = (found: Found | null) =>
    found === null ? null : { value: found.value, interval: found.interval };
  return {
    name,
    perSd: bare(answer.perSd),
    perStep: bare(answer.perStep),
    unit: answer.unit,
    verdict: answer.verdict,
    golfers: answer.golfers,
    swings: answer.swings,
  };
}
