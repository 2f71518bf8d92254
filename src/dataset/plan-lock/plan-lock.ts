import type { InputFile } from '../dataset.ts';
import type { SessionRow, TableName } from '../generated/rows.ts';
import type { Plan } from '../plan.ts';

/** A count for each phase of a trial. */
export type PhaseCounts = Readonly<Record<SessionRow['phase'], number>>;

/** One table as it was: a short hash of each row by its key, and of each column over those rows. */
export interface LockedTable {
  readonly rows: Readonly<Record<string, string>>;
  readonly columns: Readonly<Record<string, string>>;
}

/** The data that were there when the plan was locked. */
export interface LockedData {
  /** YYYY-MM-DD, or null where there was no date yet. */
  readonly newestDate: string | null;
  readonly golfers: number;
  readonly sessions: PhaseCounts;
  readonly swings: PhaseCounts;
  /** Swings that had a value of the plan's metric. */
  readonly metricValues: PhaseCounts;
  readonly files: readonly InputFile[];
  readonly tables: Readonly<Partial<Record<TableName, LockedTable>>>;
}

/** The file that `lock` writes. */
export interface LockedPlan {
  readonly kind: 'locked plan';
  readonly format: 1;
  readonly plan: Plan;
  readonly data: LockedData;
  /** The SHA-256 of each value in plan and data by its path, so that an edit can be named. */
  readonly fields: Readonly<Record<string, string>>;
  /** SHA-256 of the canonical form of all the above. */
  readonly seal: string;
}

/** Something that was there when the plan was locked and is not as it was. */
export interface LockChange {
  /** As a person finds it: `swings.csv, W0012`. */
  readonly where: string;
  readonly what: string;
}

/** What a lock says, set against the data as they are now. */
export interface PlanLock {
  readonly seal: string;
  readonly had: Pick<LockedData, 'newestDate' | 'golfers' | 'sessions' | 'swings' | 'metricValues'>;
  /** Rows and columns that were altered or taken away since; rows that were added are no change. */
  readonly changes: readonly LockChange[];
}
