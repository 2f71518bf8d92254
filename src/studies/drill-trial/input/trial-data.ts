/** The part of a dataset that a trial of a drill needs, for one metric: plain rows, in the order of the files. */

export type Phase = 'baseline' | 'training' | 'post' | 'retention';
export type Task = 'full' | 'partial' | 'drill' | 'chip';

export interface TrialMetric {
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

export interface TrialSession {
  readonly session: string;
  readonly golfer: string;
  readonly date: string;
  readonly phase: Phase;
  readonly instructor?: string | null;
  readonly device?: string | null;
  readonly surface?: string | null;
}

export interface TrialSwing {
  readonly swing: string;
  readonly session: string;
  readonly task: Task;
  /** The metric; null where it is missing. */
  readonly value: number | null;
}

export interface TrialAssignment {
  readonly golfer: string;
  readonly trial: string;
  readonly arm: string;
  readonly assignedOn: string;
}

export interface PracticeBout {
  readonly golfer: string;
  readonly date: string;
  readonly drill: string | null;
  readonly reps: number | null;
}

export interface TrialData {
  readonly metric: TrialMetric;
  readonly golfers: readonly string[];
  readonly sessions: readonly TrialSession[];
  readonly swings: readonly TrialSwing[];
  readonly assignments: readonly TrialAssignment[];
  readonly practice: readonly PracticeBout[];
}

export type Role = 'drill' | 'control';

/** A swing with everything the analyses ask of it: whose it is, under which arm, in which phase and period. */
export interface TrialRow {
  readonly swing: string;
  readonly session: string;
  readonly golfer: string;
  readonly date: string;
  readonly phase: Phase;
  readonly task: Task;
  readonly value: number;
  /** The arm the golfer was in at that session. */
  readonly arm: string;
  /** 1 for the first period of a crossover; always 1 in the other designs. */
  readonly period: number;
}
