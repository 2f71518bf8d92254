import type { Dataset, Plan } from '../../dataset/index.ts';
import { CONTROL_NAME } from '../shared/control-name.ts';
import { type Phase, type RosterSession, rosterSessions, type Task } from '../shared/roster.ts';
import type { StudyMetric } from '../shared/study-metric.ts';

/** One swing with what the noise study asks of it. */
export interface NoiseRow {
  readonly swing: string;
  readonly golfer: string;
  readonly session: string;
  readonly phase: Phase;
  readonly date: string;
  readonly device: string;
  readonly task: Task;
  readonly order: number;
  readonly value: number | null;
  /** The capture's own SD of the value, where it has one. */
  readonly ownSd: number | null;
}

export interface NoiseData {
  readonly metric: StudyMetric;
  readonly golfers: readonly string[];
  readonly sessions: readonly RosterSession[];
  readonly swings: readonly NoiseRow[];
  /** The arm of each golfer; golfers without one are absent. */
  readonly arms: ReadonlyMap<string, string>;
  /** Arms whose golfers were not given anything new. */
  readonly controls: ReadonlySet<string>;
}

/** Sessions without a device named are one device. */
export const NO_DEVICE = 'not named';

/** The rows of the dataset as the study takes them. */
export function noiseData(dataset: Dataset, metric: StudyMetric, plan: Plan | null): NoiseData {
  const sessions = rosterSessions(dataset);
  const sessionOf = new Map(sessions.map((row) => [row.session, row]));
  const { swings, golfers, assignments } = dataset.tables;
  const orders = swings.numbers('order_in_session');
  const sdColumn = `${metric.column}_sd`;
  const values = swings.has(metric.column) ? swings.numbers(metric.column) : null;
  const [visits, tasks] = [swings.column('session_id'), swings.column('task')];
  const sds = swings.has(sdColumn) ? swings.numbers(sdColumn) : null;
  const arm = assignments.column('arm');
  const arms = new Map<string, string>();
  // A golfer who changes arms was taught in between; the last arm says whether.
  assignments.column('golfer_id').forEach((golfer, i) => {
    const before = arms.get(golfer ?? '');
    const own = arm[i] ?? '';
    arms.set(golfer ?? '', before === undefined || before === own ? own : `${before}, ${own}`);
  });
  const planned = plan?.arms?.control;
  const controls = new Set(
    [...arms.values()].filter((name) => (planned === undefined ? CONTROL_NAME.test(name) : name === planned)),
  );
  return {
    metric,
    golfers: golfers.column('golfer_id').map((golfer) => golfer ?? ''),
    sessions,
    arms,
    controls,
    swings: swings.column('swing_id').map((swing, i): NoiseRow => {
      const session = sessionOf.get(visits[i] ?? '');
      const sd = sds?.[i] ?? Number.NaN;
      const value = values?.[i] ?? Number.NaN;
      return {
        swing: swing ?? '',
        session: visits[i] ?? '',
        task: tasks[i] as Task,
        value: Number.isNaN(value) ? null : value,
        golfer: session?.golfer ?? '',
        phase: session?.phase ?? 'baseline',
        date: session?.date ?? '',
        device: session?.device ?? NO_DEVICE,
        order: orders[i] ?? 0,
        ownSd: Number.isNaN(sd) ? null : sd,
      };
    }),
  };
}
