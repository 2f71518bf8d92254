import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import type { Dataset, LoadedPlan, Plan, TableName } from '../dataset/index.ts';
import type { MetricColumn, MetricDefinition } from '../kinematics/index.ts';
import type { StudyOptions } from '../studies/index.ts';
import { notebook } from './context.ts';
import { inThousands } from './run-log.ts';

/** The data and the plan that a notebook was given, ready to be put to a study. */
export interface OpenedDataset<Metric = MetricDefinition | null> {
  readonly dataset: Dataset;
  /** Null where there is no plan.json in the folder. */
  readonly plan: Plan | null;
  /** The number that decides: the plan's, else the one that was named; null where neither says. */
  readonly metric: Metric;
  /** What every study is told: the number, the plan and its file, the seed of the notebook. */
  readonly asked: Pick<StudyOptions, 'metric' | 'plan' | 'planFile' | 'lock' | 'seed'>;
}

/**
 * Reads the folder that the notebook was given, with the plan.json in it if there is one, and shows under the cell what a
 * reader must know before anything is worked out: the question, the number that decides, what the data hold and what is
 * odd about them, and what was planned.
 *
 * @param options.metric a metric column, for a folder whose plan names none
 * @throws Error in words for the reader of the notebook where the plan or the data have faults, which it shows first, and
 *   where swings.csv has no column of the metric
 * @example
 * // In a notebook that is run with --data synthetic/demo
 * const { dataset, asked } = await openDataset({ metric: 'shaft_lean_impact_deg' });
 * const outcome = drillTrial(dataset, asked);
 * outcome.ok && outcome.finding.verdict // 'meaningful'
 */
export function openDataset(options: {
  readonly metric: MetricColumn;
}): Promise<OpenedDataset<MetricDefinition>>;
export function openDataset(): Promise<OpenedDataset>;
export async function openDataset(options: { readonly metric?: MetricColumn } = {}): Promise<OpenedDataset> {
  // Loaded only now: whoever imports this folder's index to run a notebook needs neither.
  const { compareWithLock, describeProblems, loadDataset } = await import('../dataset/index.ts');
  const { metricByColumn } = await import('../kinematics/index.ts');
  const planRead = await planIn(notebook.dataDir);
  const plan = planRead?.plan ?? null;
  const loaded = await loadDataset(notebook.dataDir);
  if (!loaded.valid) {
    notebook.show(describeProblems(loaded.problems));
    throw new Error('the data have the faults listed above; mend them and run the notebook again.');
  }
  const dataset = loaded.value;
  const column = plan?.metric.column ?? options.metric;
  const metric = column === undefined ? null : metricByColumn(column);
  notebook.show(notebook.markdown(opening(plan, metric, dataset)));
  if (loaded.problems.length > 0) notebook.show(describeProblems(loaded.problems));
  if (options.metric !== undefined && metric !== null && !dataset.tables.swings.has(metric.column))
    throw new Error(
      `swings.csv has no column ${metric.column}: measure it, or name another column in the first cell.`,
    );
  return {
    dataset,
    plan,
    metric,
    asked: {
      seed: notebook.seed,
      ...(column === undefined ? {} : { metric: column }),
      ...(planRead === null
        ? {}
        : { plan: planRead.plan, planFile: { file: 'plan.json', sha256: planRead.sha256 ?? '' } }),
      ...(planRead?.locked === undefined ? {} : { lock: compareWithLock(planRead.locked, dataset) }),
    },
  };
}

async function planIn(folder: string): Promise<Extract<LoadedPlan, { readonly valid: true }> | null> {
  if (!(await readdir(folder)).includes('plan.json')) return null;
  const { loadPlan } = await import('../dataset/index.ts');
  const read = await loadPlan(join(folder, 'plan.json'));
  if (read.valid) return read;
  notebook.show(read.problems);
  throw new Error('plan.json has the faults listed above; mend them and run the notebook again.');
}

function opening(plan: Plan | null, metric: MetricDefinition | null, { tables, given }: Dataset): string {
  const rows = given.map((name) => counted(name, tables[name].length)).filter((words) => words !== '');
  const smallest = plan?.smallestChangeThatMatters;
  return [
    plan === null ? '' : `**Asked:** ${plan.question}`,
    metric === null
      ? ''
      : `**The number:** ${metric.label} (\`${metric.column}\`). ${metric.meaning} Unit: ${metric.unit}; ${metric.sign}. ` +
        `Equation: ${metric.equation}. Source: ${metric.source}.`,
    `**In the folder:** ${rows.join(', ')}.`,
    plan === null
      ? '**Planned:** nothing; there is no `plan.json` in the folder. Whatever comes out is a first look, not a test.'
      : `**Planned** in \`plan.json\`: this number decides${plan.metric.why === undefined ? '' : `. ${plan.metric.why}`}${
          smallest === undefined
            ? ' No smallest change that matters is stated.'
            : ` The smallest change that matters is ${smallest.value}${metric === null ? '' : ` ${metric.unit}`}. ${smallest.why}`
        }`,
  ]
    .filter((part) => part !== '')
    .join('\n\n');
}

/** `1,496 swings`, or nothing where a table is empty. */
function counted(table: TableName, rows: number): string {
  if (rows === 0) return '';
  const many = table === 'practice' ? 'entries of practice' : table;
  const one = table === 'practice' ? 'entry of practice' : table.slice(0, -1);
  return `${inThousands(rows)} ${rows === 1 ? one : many}`;
}
