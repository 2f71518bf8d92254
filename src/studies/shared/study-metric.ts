import type { Dataset, Plan } from '../../dataset/index.ts';
import { isMetricColumn, metricByColumn, metricCatalogue } from '../../kinematics/index.ts';
import type { Finding } from '../finding.ts';
import type { StudyProblem } from '../study.ts';

/** A metric as a study speaks of it: its words, unit, kind and the direction that is good. */
export interface StudyMetric {
  readonly column: string;
  readonly label: string;
  readonly unit: string;
  readonly meaning: string;
  readonly version: string;
  readonly kind: 'number' | 'ordinal' | 'yes-no';
  readonly decimals: number;
  readonly goodDirection: 1 | -1 | 0;
  readonly goodDirectionWhy: string;
}

export type ChosenMetric =
  | { readonly ok: true; readonly metric: StudyMetric }
  | { readonly ok: false; readonly problems: readonly StudyProblem[] };

/** The column that answers where neither the one who asks nor the plan names one, and the data have it. */
export const DEFAULT_METRIC = 'shaft_lean_impact_deg';

/** The metric columns of the swings that hold at least one value, in the order of the catalogue. */
export function metricsPresent(dataset: Dataset): string[] {
  const { swings } = dataset.tables;
  return metricCatalogue
    .map((metric) => metric.column as string)
    .filter((column) => swings.has(column) && swings.numbers(column).some((value) => !Number.isNaN(value)));
}

/** The metric asked for, the plan's, or shaft lean at impact where it was measured; else what is wrong, in words. */
export function chooseMetric(
  dataset: Dataset,
  asked: string | undefined,
  plan: Plan | null,
  present: readonly string[] = metricsPresent(dataset),
): ChosenMetric {
  const column = asked ?? plan?.metric.column ?? (present.includes(DEFAULT_METRIC) ? DEFAULT_METRIC : null);
  if (column === null || !isMetricColumn(column) || !present.includes(column))
    return { ok: false, problems: [metricProblem(column, present)] };
  return {
    ok: true,
    metric: studyMetric(column, column === plan?.metric.column ? plan.goodDirection : undefined),
  };
}

/**
 * The metric of a column; the direction that is good is the plan's where it states one.
 *
 * @throws Error when the column is no metric of the catalogue; ask `isMetricColumn` first
 */
export function studyMetric(column: string, planned?: 1 | -1 | 0): StudyMetric {
  if (!isMetricColumn(column))
    throw new Error(`studyMetric: '${column}' is no metric column; ask isMetricColumn first`);
  const { label, unit, meaning, version, kind, decimals, goodDirection, goodDirectionWhy } =
    metricByColumn(column);
  const shared = { column, label, unit, meaning, version, kind, decimals };
  return planned === undefined
    ? { ...shared, goodDirection, goodDirectionWhy }
    : { ...shared, goodDirection: planned, goodDirectionWhy: 'Stated in the plan.' };
}

/** The metric as a finding names it. */
export function metricOfFinding({ column, label, unit, meaning }: StudyMetric): Finding['metric'] {
  return { column, label, unit, meaning };
}

function metricProblem(column: string | null, present: readonly string[]): StudyProblem {
  const known = column !== null && isMetricColumn(column);
  return {
    where: 'the metric',
    found:
      column === null
        ? `no metric asked for, and no ${DEFAULT_METRIC} in swings.csv`
        : known
          ? `${column} has no value in swings.csv`
          : `'${column}' is not a metric`,
    expected:
      present.length === 0
        ? 'at least one metric column with values in swings.csv; none has any'
        : `one of the metrics with values: ${present.join(', ')}`,
    remedy:
      present.length === 0
        ? 'Fill in a metric column of swings.csv.'
        : 'Name one with --metric, or in the plan.',
  };
}
