import type { CellsWanted, Dataset, SwingFacts } from '../../dataset/index.ts';
import { metricCatalogue } from '../../kinematics/index.ts';
import type { MechanismTables } from '../mechanism-tables.ts';
import { needsSwings } from '../shared/needs-swings.ts';
import { chooseMetric, DEFAULT_METRIC, metricsPresent } from '../shared/study-metric.ts';
import { count } from '../shared/words.ts';
import type { Study, StudyOptions, StudyOutcome, StudyProblem } from '../study.ts';
import { ask } from './analysis/ask.ts';
import { LEAST_GOLFERS, LEAST_SWINGS, type NoSlope } from './analysis/slope.ts';
import { mechanismCurve } from './every-choice.ts';
import { askedOfSums, askedOfSwings } from './input/asked.ts';
import type { MechanismChoice } from './input/choice.ts';
import { MEDIATORS, PREDICTORS } from './input/columns.ts';
import { cellsOfQuestion, LEVELS_OF } from './input/summed-swings.ts';
import { writeFinding } from './wording/write-finding.ts';

/**
 * Does straightening early carry lag, lean and strike? The answer is the slope of lean on elbow straightening inside golfers
 * (each swing against the other swings of the same golfer), corrected for the stated measurement error of the elbow, its
 * interval compared with the smallest difference that matters; then the slope between golfers apart, the way by the release
 * with the indirect effect, the strike, where more stops being better, whether the body's turn changes it, and what would make
 * the arrows wrong.
 *
 * The outcome is the metric asked for, else the plan's, else shaft_lean_impact_deg; `predictor` and `mediator` are the first
 * of their kind that were measured. Data that cannot be put to the question give problems in words; nothing is thrown for
 * what is in the data.
 *
 * @example
 * const outcome = mechanism(dataset, { predictor: 'elbow_extension_onset_ms' });
 * outcome.ok && outcome.finding.metric.column // 'shaft_lean_impact_deg'
 */
export function mechanism(dataset: Dataset, options: StudyOptions = {}): StudyOutcome<MechanismTables> {
  const plan = options.plan ?? null;
  const sums = options.swingCells;
  const present = sums === undefined ? metricsPresent(dataset) : metricsIn(sums);
  const chosen = chooseMetric(dataset, options.metric, plan, present);
  if (!chosen.ok) return chosen;
  const { metric } = chosen;
  const choice = choiceOf(present, options, metric.column);
  if (!('predictor' in choice)) return { ok: false, problems: choice };
  if (metric.kind !== 'number')
    return refusal([
      {
        where: '--metric',
        found: `${metric.column}, which is ${metric.kind === 'ordinal' ? 'a rating' : 'a yes or no'}`,
        expected: 'a measured number at the end of the arrows, such as shaft_lean_impact_deg',
        remedy: 'Leave --metric out; ratings and yes/no strikes are answered beside it.',
      },
    ]);
  const unfit = sums === undefined ? [] : needsSwings(plan);
  if (unfit.length > 0) return refusal(unfit);
  const found =
    sums === undefined ? askedOfSwings(dataset, plan, choice) : askedOfSums(dataset, plan, choice, sums);
  if (!found.ok) return refusal(found.problems);
  const { asked } = found;
  const answers = ask(asked.swings, choice, metric, plan, options.seed ?? plan?.seed);
  if ('why' in answers) return refusal([unanswerable(answers, choice)]);
  return { ok: true, finding: writeFinding({ dataset, options, asked, answers, metric }) };
}

/** The metrics that have values in full swings, in the order of the catalogue. */
function metricsIn({ known }: SwingFacts): string[] {
  return metricCatalogue
    .map((metric) => metric.column as string)
    .filter((column) => (known.get(column) ?? 0) > 0);
}

/** The sums that the question takes of swings; where it cannot be put to them, those that let it say so. */
function cellsWanted(facts: SwingFacts, options: StudyOptions): readonly CellsWanted[] {
  const present = metricsIn(facts);
  const outcome = options.metric ?? options.plan?.metric.column ?? DEFAULT_METRIC;
  const choice = choiceOf(present, options, outcome);
  return 'predictor' in choice && present.includes(outcome) ? cellsOfQuestion(choice, facts) : [];
}

function choiceOf(
  columns: readonly string[],
  options: StudyOptions,
  outcome: string,
): MechanismChoice | readonly StudyProblem[] {
  const present = new Set(columns);
  const problems: StudyProblem[] = [];
  const predictor = pick('predictor', options.predictor, PREDICTORS, present, problems);
  const mediator = pick('mediator', options.mediator, MEDIATORS, present, problems);
  if (predictor === null && problems.length === 0)
    problems.push({
      where: 'swings.csv',
      found: 'no column that says how early the elbow straightens has values',
      expected: `one of ${PREDICTORS.join(', ')}`,
      remedy: 'Fill in one of them; measure gives all three from a capture.',
    });
  for (const [role, column] of [
    ['predictor', predictor],
    ['mediator', mediator],
  ] as const)
    if (column === outcome)
      problems.push({
        where: '--metric',
        found: `${outcome}, which is also the ${role}`,
        expected: 'another number at the end of the arrows than at their beginning',
        remedy: `Name another --metric, or another --${role}.`,
      });
  if (problems.length > 0 || predictor === null) return problems;
  return { predictor, mediator, outcome, within: 'golfer', rule: 'all', held: [], corrected: true };
}

function pick(
  role: 'predictor' | 'mediator',
  asked: string | undefined,
  known: readonly string[],
  present: ReadonlySet<string>,
  problems: StudyProblem[],
): string | null {
  if (asked === undefined) return known.find((column) => present.has(column)) ?? null;
  if (known.includes(asked) && present.has(asked)) return asked;
  problems.push({
    where: `--${role}`,
    found: known.includes(asked) ? `${asked} has no value in swings.csv` : `'${asked}'`,
    expected: `a column with values, one of ${known.join(', ')}`,
    remedy: `Name one of these, or leave --${role} out.`,
  });
  return null;
}

function unanswerable(
  { why, golfers, swings }: NoSlope,
  { predictor, outcome }: MechanismChoice,
): StudyProblem {
  const where = 'swings.csv';
  switch (why) {
    case 'too-few-golfers':
      return {
        where,
        found: `${count(golfers, 'golfer')} with at least ${LEAST_SWINGS} full swings that have both ${predictor} and ${outcome} (${count(swings, 'such swing')} in all)`,
        expected: `at least ${LEAST_GOLFERS} such golfers: with fewer, one golfer would carry the answer`,
        remedy: 'Capture more golfers, or fill in what is missing. For one golfer ask one-golfer.',
      };
    case 'no-variation':
    case 'no-variation-outcome': {
      const column = why === 'no-variation' ? predictor : outcome;
      return {
        where,
        found: `${column} is the same at every swing of each golfer`,
        expected: 'a number that varies from swing to swing',
        remedy:
          'Look whether one value per golfer was copied to all swings; a slope inside golfers needs swings that differ.',
      };
    }
    case 'not-estimable':
      return {
        where,
        found: `no model of ${outcome} on ${predictor} could be fitted to ${count(swings, 'swing')}`,
        expected: 'enough swings that differ, in enough golfers',
        remedy: 'Capture more swings of each golfer.',
      };
  }
}

function refusal(problems: readonly StudyProblem[]): StudyOutcome<never> {
  return { ok: false, problems };
}

/** The study as the registry lists it. */
export const mechanismStudy: Study<MechanismTables> = {
  takesSums: true,
  cells: { levelsOf: LEVELS_OF, wanted: cellsWanted },
  name: 'mechanism',
  question: 'Does straightening early carry lag, lean and strike?',
  summary:
    'Whether swings with more early elbow straightening lean the shaft more in one and the same golfer, by which way, and what else could explain it. Needs swings of several golfers with an elbow number and lean.',
  everyChoice: mechanismCurve,
  run: mechanism,
};
