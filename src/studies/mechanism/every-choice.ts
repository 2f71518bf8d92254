import type { Dataset } from '../../dataset/index.ts';
import type { Finding } from '../finding.ts';
import { metricsPresent, studyMetric } from '../shared/study-metric.ts';
import { curveOf } from '../specification/curve-of.ts';
import type { SpecificationCurve } from '../specification/specification.ts';
import type { StudyOptions } from '../study.ts';
import { differs } from './analysis/held.ts';
import { HELD_WORDS, type Held, type MechanismChoice, RULE_WORDS, type SwingRule } from './input/choice.ts';
import { PREDICTORS, slopeUnit } from './input/columns.ts';
import { extractSwings } from './input/swings.ts';
import { answerUnder, defaultChoice } from './mechanism-under.ts';

const RULES: readonly SwingRule[] = ['all', 'not-the-first-two', 'without-outliers'];
const HELD: readonly (Held | null)[] = [null, 'order', 'speed-intent'];

/**
 * The slope inside golfers under every combination of what says that the elbow straightens early, which swings count, whose
 * own level is taken away, what is held, and whether measurement error is corrected for. Every predictor is told towards
 * earlier straightening, so that all estimates run one way.
 *
 * @param main the finding of the question as it was asked
 */
export function mechanismCurve(dataset: Dataset, options: StudyOptions, main: Finding): SpecificationCurve {
  const plan = options.plan ?? null;
  const present = new Set(metricsPresent(dataset));
  const asked: MechanismChoice = {
    ...defaultChoice(dataset),
    outcome: main.metric.column,
    ...(options.predictor === undefined ? {} : { predictor: options.predictor }),
  };
  const predictors = [asked.predictor, ...PREDICTORS.filter((column) => column !== asked.predictor)].filter(
    (column) => present.has(column),
  );
  const { full } = extractSwings(dataset, plan, [asked.outcome, ...predictors]);
  const stated = full.some(({ errors }) => predictors.some((column) => errors[column] != null));
  const choices = [
    {
      key: 'predictor',
      words: 'what says that the elbow straightens early',
      options: predictors.map((column) => ({ key: column, words: studyMetric(column).label })),
    },
    {
      key: 'swings',
      words: 'which swings count',
      options: RULES.map((rule) => ({ key: rule, words: RULE_WORDS[rule] })),
    },
    {
      key: 'within',
      words: 'whose own level is taken away',
      options: [
        { key: 'golfer', words: 'the golfer’s' },
        { key: 'session', words: 'the golfer’s of that day' },
      ],
    },
    {
      key: 'held',
      words: 'what is held',
      options: HELD.filter((held) => held === null || differs(held, full)).map((held) => ({
        key: held ?? 'nothing',
        words: held === null ? 'nothing' : HELD_WORDS[held],
      })),
    },
    {
      key: 'corrected',
      words: 'measurement error of the elbow',
      options: [
        { key: 'corrected', words: 'corrected for' },
        ...(stated ? [{ key: 'as-measured', words: 'left in' }] : []),
      ],
    },
  ];
  return curveOf(choices, (combination) => {
    const [predictor, rule, within, held, corrected] = combination.map(({ key }) => key);
    const choice: MechanismChoice = {
      ...asked,
      predictor: predictor!,
      rule: rule as SwingRule,
      within: within as MechanismChoice['within'],
      held: held === 'nothing' ? [] : [held as Held],
      corrected: corrected === 'corrected',
    };
    const answer = answerUnder(full, choice, plan?.level ?? 0.95, plan?.smallestChangeThatMatters ?? null);
    const found = answer.perStep;
    return {
      metric: choice.predictor,
      value: found?.value ?? null,
      interval: found?.interval ?? [null, null],
      unit: slopeUnit(choice.outcome, choice.predictor),
      smallest: answer.smallest,
      verdict: found === null ? null : answer.verdict,
      why: answer.why,
    };
  });
}
