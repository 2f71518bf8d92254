import type { Dataset, Plan } from '../../../dataset/index.ts';
import { isMetricColumn, metricByColumn, metricCatalogue } from '../../../kinematics/index.ts';
import type { StudyProblem } from '../../study.ts';
import type { Phase, Task, TrialData, TrialMetric } from './trial-data.ts';

const DEFAULT_METRIC = 'shaft_lean_impact_deg';

export type ExtractOutcome =
  | { readonly ok: true; readonly data: TrialData }
  | { readonly ok: false; readonly problems: readonly StudyProblem[] };

/** The metric columns of the swings that hold at least one value, in the order of the catalogue. */
export function metricsPresent(dataset: Dataset): string[] {
  const { swings } = dataset.tables;
  return metricCatalogue
    .map((metric) => metric.column as string)
    .filter((column) => swings.has(column) && swings.numbers(column).some((value) => !Number.isNaN(value)));
}

/** The rows a trial needs, for the metric asked for, the plan's, or shaft lean at impact where it was measured. */
export function extractTrial(dataset: Dataset, asked: string | undefined, plan: Plan | null): ExtractOutcome {
  const present = metricsPresent(dataset);
  const column = asked ?? plan?.metric.column ?? (present.includes(DEFAULT_METRIC) ? DEFAULT_METRIC : null);
  if (column === null || !isMetricColumn(column) || !present.includes(column))
    return { ok: false, problems: [metricProblem(column, present)] };
  const { golfers, sessions, swings, assignments, practice } = dataset.tables;
  const values = swings.numbers(column);
  const swingSessions = swings.column('session_id');
  const tasks = swings.column('task');
  const sessionGolfers = sessions.column('golfer_id');
  const dates = sessions.column('date');
  const phases = sessions.column('phase');
  const practised = {
    date: practice.column('date'),
    drill: practice.column('drill'),
    reps: practice.column('reps'),
  };
  const circumstances = {
    instructor: sessions.column('instructor_id'),
    device: sessions.column('device'),
    surface: sessions.column('surface'),
  };
  const assigned = {
    trial: assignments.column('trial_id'),
    arm: assignments.column('arm'),
    on: assignments.column('assigned_on'),
  };
  return {
    ok: true,
    data: {
      metric: trialMetric(column, column === plan?.metric.column ? plan.goodDirection : undefined),
      golfers: golfers.column('golfer_id').map((golfer) => golfer ?? ''),
      sessions: sessions.column('session_id').map((session, i) => ({
        session: session ?? '',
        golfer: sessionGolfers[i] ?? '',
        date: dates[i] ?? '',
        phase: phaseUnder(plan, phases[i] as Phase),
        instructor: circumstances.instructor[i] ?? null,
        device: circumstances.device[i] ?? null,
        surface: circumstances.surface[i] ?? null,
      })),
      swings: swings.column('swing_id').map((swing, i) => ({
        swing: swing ?? '',
        session: swingSessions[i] ?? '',
        task: tasks[i] as Task,
        value: Number.isNaN(values[i]!) ? null : values[i]!,
      })),
      assignments: assignments.column('golfer_id').map((golfer, i) => ({
        golfer: golfer ?? '',
        trial: assigned.trial[i] ?? '',
        arm: assigned.arm[i] ?? '',
        assignedOn: assigned.on[i] ?? '',
      })),
      practice: practice.column('golfer_id').map((golfer, i) => ({
        golfer: golfer ?? '',
        date: practised.date[i] ?? '',
        drill: practised.drill[i] ?? null,
        reps: Number.isNaN(practised.reps[i]!) ? null : practised.reps[i]!,
      })),
    },
  };
}

/** The phase a session counts under: the plan may compare other phases than baseline, post and retention. */
function phaseUnder(plan: Plan | null, phase: Phase): Phase {
  if (plan?.phases === undefined) return phase;
  const { before, after, retention } = plan.phases;
  if (phase === before) return 'baseline';
  if (phase === after) return 'post';
  if (phase === retention) return 'retention';
  return retention === undefined && phase === 'retention' ? 'retention' : 'training';
}

function trialMetric(column: string, planned: 1 | -1 | 0 | undefined): TrialMetric {
  const { label, unit, meaning, version, kind, decimals, goodDirection, goodDirectionWhy } =
    metricByColumn(column);
  const shared = { column, label, unit, meaning, version, kind, decimals };
  return planned === undefined
    ? { ...shared, goodDirection, goodDirectionWhy }
    : { ...shared, goodDirection: planned, goodDirectionWhy: 'Stated in the plan.' };
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
