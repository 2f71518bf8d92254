import { basename, join, resolve } from 'node:path';
import { loadDataset, loadPlan } from '../../dataset/index.ts';
import { isMetricColumn, metricCatalogue } from '../../kinematics/index.ts';
import { writeReport } from '../../report/index.ts';
import { isStudyName, type StudyOptions, serialiseFinding, studies } from '../../studies/index.ts';
import type { Given } from '../command.ts';
import { datasetRefused, warningsInWords } from '../dataset-words.ts';
import { takenFolder } from '../files.ts';
import { findingInWords } from '../finding-words.ts';
import { textOption } from '../folder.ts';
import type { Progress } from '../progress.ts';
import { type CommandResult, type Fault, refused } from '../result.ts';

const NAMES = Object.keys(studies).join(', ');

export async function run(given: Given, progress: Progress): Promise<CommandResult> {
  return ask(
    {
      study: given.arguments[0] ?? '',
      data: textOption(given, 'data') ?? '',
      metric: textOption(given, 'metric'),
      plan: textOption(given, 'plan'),
      out: textOption(given, 'out'),
    },
    progress,
  );
}

export interface Question {
  readonly study: string;
  readonly data: string;
  readonly metric: string | undefined;
  readonly plan: string | undefined;
  /** A new folder for the report; none is written where it is absent. */
  readonly out: string | undefined;
}

/** Reads the data and the plan, puts the question, writes the report where one is wanted, says the answer. */
export async function ask(question: Question, progress: Progress): Promise<CommandResult> {
  const { study, data, metric, out } = question;
  if (!isStudyName(study)) return refused(2, [unknownStudy(study)]);
  const taken = out === undefined ? [] : await takenFolder('--out', out);
  if (taken.length > 0) return refused(2, taken);
  const planned = await planOptions(question.plan);
  if ('faults' in planned) return refused(2, planned.faults);
  if (metric !== undefined && !isMetricColumn(metric)) return refused(2, [unknownMetric(metric)]);
  progress.step('Reading and checking the data');
  const loaded = await loadDataset(data);
  if (!loaded.valid) return datasetRefused(loaded.problems);
  const messages = warningsInWords(loaded.problems, data);
  progress.step('Answering');
  const outcome = studies[study].run(loaded.value, {
    ...planned.options,
    ...(metric === undefined ? {} : { metric }),
  });
  if (!outcome.ok) {
    const refusal = refused(1, outcome.problems);
    return { ...refusal, messages: [...messages, ...refusal.messages] };
  }
  const { finding } = outcome;
  const json: unknown = JSON.parse(serialiseFinding(finding));
  const words = findingInWords(finding);
  if (out === undefined) return { exit: 0, json, text: words, messages };
  progress.step('Writing the report');
  const { page } = await writeReport(out, finding);
  return { exit: 0, json, text: `${words}\n\nThe report: ${resolve(join(out, page))}`, messages };
}

type PlanOptions = Pick<StudyOptions, 'plan' | 'planFile'>;

async function planOptions(
  path: string | undefined,
): Promise<{ readonly options: PlanOptions } | { readonly faults: readonly Fault[] }> {
  if (path === undefined) return { options: {} };
  const loaded = await loadPlan(path);
  if (!loaded.valid)
    return {
      faults: loaded.problems.map((problem) => ({
        ...problem,
        where: `--plan ${path} ${problem.where}`.trim(),
      })),
    };
  return { options: { plan: loaded.plan, planFile: { file: basename(path), sha256: loaded.sha256 ?? '' } } };
}

function unknownMetric(name: string): Fault {
  return {
    where: '--metric',
    found: `"${name}"`,
    expected: `a metric column of swings.csv: ${metricCatalogue.map(({ column }) => column).join(', ')}`,
    remedy: 'write one of these, letter for letter',
  };
}

function unknownStudy(name: string): Fault {
  return {
    where: 'the study',
    found: `"${name}"`,
    expected: `one of: ${NAMES}`,
    remedy: 'write one of these after ask',
  };
}
