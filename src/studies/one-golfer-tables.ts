/** What the one-golfer page is drawn from. All values are in the metric's unit unless the name says otherwise. */

/** A: before, or without; B: with the training or after it; retention: later, to see whether it lasted. */
export type Condition = 'A' | 'B' | 'retention';

/** One session of one golfer, in the unit of the metric. */
export interface SessionPoint {
  readonly golfer: string;
  readonly session: string;
  /** YYYY-MM-DD. */
  readonly date: string;
  /** From 1, by date, among the golfer's sessions that have a value. */
  readonly order: number;
  /** As in sessions.csv. */
  readonly phase: 'baseline' | 'training' | 'post' | 'retention';
  readonly condition: Condition;
  /** From 1: sessions of one condition in a row are one phase. */
  readonly run: number;
  readonly swings: number;
  readonly mean: number;
  readonly swingSd: number | null;
  readonly movingRange: number | null;
  /** What the chart signals here. */
  readonly signals: readonly ('beyond-limits' | 'run' | 'range')[];
}

/** A phase of a golfer: sessions of one condition in a row. */
export interface PhaseRun {
  readonly golfer: string;
  readonly run: number;
  readonly condition: Condition;
  readonly sessions: number;
  readonly swings: number;
  readonly mean: number;
  /** SD of session means. */
  readonly sd: number | null;
  /** Theil-Sen, each session. */
  readonly slope: number | null;
}

/** Limits of a golfer's chart, from the first A phase. */
export interface GolferLimits {
  readonly golfer: string;
  readonly centre: number;
  readonly low: number;
  readonly high: number;
  readonly meanRange: number;
  readonly rangeHigh: number;
  readonly from: number;
}

/** The randomisation test of one golfer's series, in the unit of the metric. */
export interface RandomisationTable {
  readonly kind: 'phases' | 'multiple-baseline';
  /** Such as `ABAB`. */
  readonly pattern: string;
  readonly sessions: number;
  /** The fewest sessions in a phase; null where windows were given. */
  readonly least: number | null;
  readonly ways: number;
  readonly difference: number;
  readonly p: number;
  readonly smallestP: number;
  readonly exact: boolean;
  readonly counted: number;
  /** Whether the plan says that it was drawn at random; else p is only as if it had been. */
  readonly drawn: boolean;
  readonly interval: readonly [number, number] | null;
  /** The difference under every way, ordered; empty where there are more than 2,000. */
  readonly differences: readonly number[];
}

/** What the page of one golfer is drawn from. */
export interface OneGolferTables {
  readonly sessions: readonly SessionPoint[];
  readonly phases: readonly PhaseRun[];
  readonly limits: readonly GolferLimits[];
  readonly randomisation: RandomisationTable | null;
}
