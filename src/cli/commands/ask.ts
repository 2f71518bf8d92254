import { join, resolve } from 'node:path';
import { compareWithLock, type Dataset, minorsWithoutGuardian } from '../../dataset/index.ts';
import { isMetricColumn, metricCatalogue } from '../../kinematics/index.ts';
import { writeReport } from '../../report/index.ts';
import {
  type Finding,
  isStudyName,
  reportingChecklist,
  type Study,
  type StudyOptions,
  serialiseFinding,
  specificationCurve,
  standardChoices,
  studies,
} from '../../studies/index.ts';
import type { Given } from '../command.ts';
import { type CurveWords, curvesBeside, curveWords } from '../curve-options.ts';
import { datasetRefused, warningsInWords } from '../dataset-words.ts';
import { takenFolder } from '../files.ts';
import { findingInWords } from '../finding-words.ts';
import { textOption } from '../folder.ts';
import { optionFaults } from '../options-of-study.ts';
import { planGiven } from '../plan-given.ts';
import type { Progress } from '../progress.ts';
import { type CommandResult, type Fault, refused } from '../result.ts';
import { dataOfQuestion } from '../summed-data.ts';
import { unknownWord } from '../unknown-word.ts';

const NAMES = Object.keys(studies).join(', ');

export async function run(given: Given, progress: Progress): Promise<CommandResult> {
  return ask(
    {
      study: given.arguments[0] ?? '',
      data: textOption(given, 'data') ?? '',
      metric: textOption(given, 'metric'),
      plan: textOption(given, 'plan'),
      seal: textOption(given, 'seal'),
      out: textOption(given, 'out'),
      everyChoice: given.options.everyChoice === true,
      golferPages: given.options.golferPages === true,
      golfer: textOption(given, 'golfer'),
      against: textOption(given, 'against'),
      change: textOption(given, 'change'),
      predictor: textOption(given, 'predictor'),
      mediator: textOption(given, 'mediator'),
      compare: textOption(given, 'compare'),
      by: textOption(given, 'by'),
      axis: textOption(given, 'axis'),
      seed: textOption(given, 'seed'),
    },
    progress,
  );
}

export interface Question extends CurveWords {
  readonly study: string;
  readonly data: string;
  readonly metric: string | undefined;
  readonly plan: string | undefined;
  /** The seal as it was told when the plan was locked. */
  readonly seal?: string | undefined;
  /** A new folder for the report; none is written where it is absent. */
  readonly out: string | undefined;
  /** Ask the question again under every combination of the stated choices. */
  readonly everyChoice?: boolean;
  /** Beside the report of a drill trial, a page for each golfer. */
  readonly golferPages?: boolean;
  /** Of one-golfer: whom it is about, several with commas between them. */
  readonly golfer?: string | undefined;
  /** Of noise: another metric column to compare with. */
  readonly against?: string | undefined;
  /** Of noise: the size of the change to be seen, as typed. */
  readonly change?: string | undefined;
  /** Of mechanism: the elbow's column, and the one of the release. */
  readonly predictor?: string | undefined;
  readonly mediator?: string | undefined;
  /** Of studies that draw at random: the seed, as typed. */
  readonly seed?: string | undefined;
}

/** Reads the data and the plan, puts the question, writes the report where one is wanted, says the answer. */
export async function ask(question: Question, progress: Progress): Promise<CommandResult> {
  const { study, data, metric, out } = question;
  if (!isStudyName(study)) return refused(2, [unknownStudy(study)]);
  if (question.golferPages === true && (study !== 'drill-trial' || out === undefined))
    return refused(2, [pagesOfGolfers(study, out)]);
  const unfit = optionFaults(study, question);
  if (unfit.length > 0) return refused(2, unfit);
  const taken = out === undefined ? [] : await takenFolder('--out', out);
  if (taken.length > 0) return refused(2, taken);
  const planned = await planGiven(question.plan, question.seal);
  if ('faults' in planned) return refused(2, planned.faults);
  const ofCurves = (studies[study] as Study).answersIn === 'curves';
  if (metric !== undefined && !ofCurves && !isMetricColumn(metric))
    return refused(2, [unknownMetric(metric)]);
  if (ofCurves && question.everyChoice === true) return refused(2, [choicesOfCurves(study)]);
  const typed = curveWords(question);
  if ('faults' in typed) return refused(2, typed.faults);
  if (question.seed !== undefined && !/^\d{1,15}$/.test(question.seed))
    return refused(2, [unfitSeed(question.seed)]);
  progress.step('Reading and checking the data');
  const loaded = await dataOfQuestion(
    data,
    studies[study] as Study,
    metric,
    planned.options.plan,
    undefined,
    {
      ...(question.predictor === undefined ? {} : { predictor: question.predictor }),
      ...(question.mediator === undefined ? {} : { mediator: question.mediator }),
    },
  );
  if (!loaded.valid) return datasetRefused(loaded.problems);
  const { dataset, swingSums, swingCells } = loaded.value;
  const summed = swingSums ?? swingCells;
  if (summed !== undefined && (question.everyChoice === true || planned.locked !== undefined))
    return refused(1, [needsEachSwing(question.everyChoice === true, summed.rows)]);
  const beside = ofCurves ? await curvesBeside(data) : { options: {} };
  if ('problems' in beside) return datasetRefused(beside.problems);
  const messages = [...warningsInWords(loaded.problems, data)];
  progress.step('Answering');
  const { locked } = planned;
  const asked: StudyOptions = {
    ...planned.options,
    ...typed.options,
    ...beside.options,
    ...(locked === undefined ? {} : { lock: compareWithLock(locked, dataset) }),
    ...(metric === undefined ? {} : { metric }),
    ...(question.golfer === undefined ? {} : { golfers: golfersIn(question.golfer) }),
    ...(question.against === undefined ? {} : { against: question.against }),
    ...(question.change === undefined ? {} : { change: Number(question.change) }),
    ...(question.predictor === undefined ? {} : { predictor: question.predictor }),
    ...(question.mediator === undefined ? {} : { mediator: question.mediator }),
    ...(question.seed === undefined ? {} : { seed: Number(question.seed) }),
    ...(swingSums === undefined ? {} : { swingSums }),
    ...(swingCells === undefined ? {} : { swingCells }),
  };
  const outcome = studies[study].run(dataset, asked);
  if (!outcome.ok) {
    // A golfer who is not there was typed wrong, like any other word of the command.
    const there = new Set(dataset.tables.golfers.column('golfer_id'));
    const mistyped = asked.golfers?.some((golfer) => !there.has(golfer)) ?? false;
    const refusal = refused(mistyped ? 2 : 1, outcome.problems);
    return { ...refusal, messages: [...messages, ...refusal.messages] };
  }
  if (question.everyChoice === true) progress.step('Asking again under every combination of choices');
  const answered =
    question.everyChoice === true
      ? underEveryChoice(dataset, studies[study], asked, outcome.finding)
      : outcome.finding;
  const sources = { finding: answered, plan: asked.plan ?? null, dataset };
  const finding = { ...answered, reporting: reportingChecklist(sources) };
  const json: unknown = JSON.parse(serialiseFinding(finding));
  const words = findingInWords(finding);
  if (out === undefined) return { exit: 0, json, text: words, messages };
  progress.step('Writing the report');
  const withoutPage = minorsWithoutGuardian(dataset);
  const { page } = await writeReport(out, finding, {
    golferPages: question.golferPages === true,
    withoutPage,
  });
  if (question.golferPages === true && withoutPage.size > 0)
    messages.push(
      `No page was made for ${[...withoutPage].join(', ')}: minors for whom no guardian consented (consent_by in golfers.csv).`,
    );
  return { exit: 0, json, text: `${words}\n\nThe report: ${resolve(join(out, page))}`, messages };
}

function underEveryChoice(dataset: Dataset, study: Study, asked: StudyOptions, finding: Finding): Finding {
  if (study.everyChoice !== undefined)
    return { ...finding, specifications: study.everyChoice(dataset, asked, finding) };
  const choices = standardChoices(dataset, finding.metric.column, study.covariates ?? []);
  return { ...finding, specifications: specificationCurve(dataset, study, asked, finding, choices) };
}

/** `G01,G02` as golfers; blanks round the commas are dropped. */
function golfersIn(text: string): string[] {
  return text
    .split(',')
    .map((golfer) => golfer.trim())
    .filter((golfer) => golfer !== '');
}

function unknownMetric(name: string): Fault {
  const columns = metricCatalogue.map(({ column }) => column);
  return unknownWord('--metric', name, columns, { kind: 'a metric column of swings.csv' });
}

function pagesOfGolfers(study: string, out: string | undefined): Fault {
  return {
    where: '--golfer-pages',
    found: out === undefined ? 'no --out' : `with ${study}`,
    expected: 'ask drill-trial with --out',
    remedy:
      out === undefined ? 'name a new folder with --out' : 'leave --golfer-pages out, or ask drill-trial',
  };
}

function unknownStudy(name: string): Fault {
  if (name === 'plan')
    return {
      where: 'the study',
      found: '"plan"',
      expected: `a question to a dataset: ${NAMES}`,
      remedy:
        'how many golfers and swings are needed is worked out before there are data; write: plan --recipe NAME',
    };
  if (name === 'calibration')
    return {
      where: 'the study',
      found: '"calibration"',
      expected: `a question to a dataset: ${NAMES}`,
      remedy:
        'whether the methods tell the truth is counted on cohorts drawn for it, whose truth is known, and not on a dataset; write: calibrate',
    };
  if (name === 'angle')
    return {
      where: 'the study',
      found: '"angle"',
      expected: `one of: ${NAMES}`,
      remedy:
        'an angle is worked out from a table of points and not from a dataset: use angle --definition NAME --data POINTS --points ROLE=NAME,... --published FILE --out DIR',
    };
  return unknownWord('the study', name, Object.keys(studies), { remedy: 'write one of these after ask' });
}

function unfitSeed(found: string): Fault {
  return {
    where: '--seed',
    found: `"${found}"`,
    expected: 'a whole number of at most 15 digits',
    remedy: 'write digits only',
  };
}

function needsEachSwing(everyChoice: boolean, swings: number): Fault {
  return {
    where: everyChoice ? '--every-choice' : '--plan',
    found: `${swings} swings, which are summed by session and not read one by one`,
    expected: everyChoice
      ? 'fewer swings: other choices of swings need each of them'
      : 'a plan without a lock: a lock is compared with each swing',
    remedy: everyChoice
      ? 'leave the word out, or ask of a part of the golfers'
      : 'ask with the plan as it was before it was locked',
  };
}

function choicesOfCurves(study: string): Fault {
  return {
    where: '--every-choice',
    found: `the study ${study}`,
    expected: 'a study of one number of each swing',
    remedy:
      'leave the word out: other layouts of time, methods and comparisons are asked again beside the answer',
  };
}
