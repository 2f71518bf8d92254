import type { Phase, RosterSession, RosterSwing, Task } from '../../shared/roster.ts';
import type { StudyMetric } from '../../shared/study-metric.ts';

/** The part of a dataset that a trial of a drill needs, for one metric: plain rows, in the order of the files. */

export type { Phase, Task };

/** A session, with what else went with it where that is known. */
export type TrialSession = Omit<RosterSession, 'instructor' | 'device' | 'surface'> &
  Partial<Pick<RosterSession, 'instructor' | 'device' | 'surface'>> & {
    readonly covariates?: CovariateValues;
  };

/** By covariate, its value at a session; null where it is missing. */
export type CovariateValues = Readonly<Record<string, number | string | null>>;

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
  readonly metric: StudyMetric;
  readonly golfers: readonly string[];
  readonly sessions: readonly TrialSession[];
  readonly swings: readonly RosterSwing[];
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
  /** What the answer is adjusted for, by name. */
  readonly covariates?: CovariateValues;
  /** 1 for the first period of a crossover; always 1 in the other designs. */
  readonly period: number;
}
