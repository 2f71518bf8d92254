import type { Dataset } from '../../dataset/index.ts';

/** Sessions and swings of a dataset as plain rows, in the order of the files. */

export type Phase = 'baseline' | 'training' | 'post' | 'retention';
export type Task = 'full' | 'partial' | 'drill' | 'chip';

export interface RosterSession {
  readonly session: string;
  readonly golfer: string;
  /** YYYY-MM-DD. */
  readonly date: string;
  readonly phase: Phase;
  readonly instructor: string | null;
  readonly device: string | null;
  readonly surface: string | null;
}

export interface RosterSwing {
  readonly swing: string;
  readonly session: string;
  readonly task: Task;
  /** The metric; null where it is missing. */
  readonly value: number | null;
}

/** Every session, in the order of sessions.csv. */
export function rosterSessions(dataset: Dataset): RosterSession[] {
  const { sessions } = dataset.tables;
  const golfers = sessions.column('golfer_id');
  const dates = sessions.column('date');
  const phases = sessions.column('phase');
  const instructors = sessions.column('instructor_id');
  const devices = sessions.column('device');
  const surfaces = sessions.column('surface');
  return sessions.column('session_id').map((session, i) => ({
    session: session ?? '',
    golfer: golfers[i] ?? '',
    date: dates[i] ?? '',
    phase: phases[i] as Phase,
    instructor: instructors[i] ?? null,
    device: devices[i] ?? null,
    surface: surfaces[i] ?? null,
  }));
}

/** Every swing with its value of one metric column, in the order of swings.csv. */
export function rosterSwings(dataset: Dataset, column: string): RosterSwing[] {
  const { swings } = dataset.tables;
  const values = numbersOrMissing(dataset, column);
  const sessions = swings.column('session_id');
  const tasks = swings.column('task');
  return swings.column('swing_id').map((swing, i) => ({
    swing: swing ?? '',
    session: sessions[i] ?? '',
    task: tasks[i] as Task,
    value: values[i] ?? null,
  }));
}

/** A numeric column of the swings by row; null where a cell is empty or the column is not there. */
export function numbersOrMissing(dataset: Dataset, column: string): (number | null)[] {
  const { swings } = dataset.tables;
  if (!swings.has(column)) return swings.column('swing_id').map(() => null);
  return Array.from(swings.numbers(column), (value) => (Number.isNaN(value) ? null : value));
}
