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

/** What the swings are read from; each has one value for a swing, but the sessions. */
interface SwingColumns {
  readonly ids: readonly (string | null)[];
  readonly visits: readonly (string | null)[];
  readonly tasks: readonly (string | null)[];
  readonly orders: Float64Array;
  readonly values: Float64Array | null;
  readonly sds: Float64Array | null;
  readonly sessionOf: ReadonlyMap<string, RosterSession>;
}

/** A swing as a place in the columns: a million of them with their own copies would not fit beside the dataset. */
class SwingInColumns implements NoiseRow {
  readonly #columns: SwingColumns;
  readonly #at: number;

  constructor(columns: SwingColumns, at: number) {
    this.#columns = columns;
    this.#at = at;
  }

  get swing(): string {
    return this.#columns.ids[this.#at] ?? '';
  }

  get session(): string {
    return this.#columns.visits[this.#at] ?? '';
  }

  get task(): Task {
    return this.#columns.tasks[this.#at] as Task;
  }

  get golfer(): string {
    return this.#visit?.golfer ?? '';
  }

  get phase(): Phase {
    return this.#visit?.phase ?? 'baseline';
  }

  get date(): string {
    return this.#visit?.date ?? '';
  }

  get device(): string {
    return this.#visit?.device ?? NO_DEVICE;
  }

  get order(): number {
    return this.#columns.orders[this.#at] ?? 0;
  }

  get value(): number | null {
    return numberOrNull(this.#columns.values, this.#at);
  }

  get ownSd(): number | null {
    return numberOrNull(this.#columns.sds, this.#at);
  }

  get #visit(): RosterSession | undefined {
    return this.#columns.sessionOf.get(this.session);
  }
}

function numberOrNull(values: Float64Array | null, at: number): number | null {
  const value = values?.[at] ?? Number.NaN;
  return Number.isNaN(value) ? null : value;
}

/** The rows of the dataset as the study takes them. */
export function noiseData(dataset: Dataset, metric: StudyMetric, plan: Plan | null): NoiseData {
  const sessions = rosterSessions(dataset);
  const { swings, golfers, assignments } = dataset.tables;
  const sdColumn = `${metric.column}_sd`;
  const columns: SwingColumns = {
    ids: swings.column('swing_id'),
    visits: swings.column('session_id'),
    tasks: swings.column('task'),
    orders: swings.numbers('order_in_session'),
    values: swings.has(metric.column) ? swings.numbers(metric.column) : null,
    sds: swings.has(sdColumn) ? swings.numbers(sdColumn) : null,
    sessionOf: new Map(sessions.map((row) => [row.session, row])),
  };
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
    swings: columns.ids.map((_, at) => new SwingInColumns(columns, at)),
  };
}
