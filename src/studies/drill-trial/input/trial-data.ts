import type { ValueSums } from '../../../stats/index.ts';
import type { Phase, RosterSession, Task } from '../../shared/roster.ts';
import type { StudyMetric } from '../../shared/study-metric.ts';

/**
 * The part of a dataset that a trial of a drill needs, for one metric, in the order of the files. Swings of one session and
 * task differ in their value alone, so all that any model of the study takes from them is their sums.
 */

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
  readonly swings: readonly SessionSwings[];
  readonly assignments: readonly TrialAssignment[];
  readonly practice: readonly PracticeBout[];
}

export type Role = 'drill' | 'control';

/** Swings by number and, where they are held, by id. */
export interface CountedSwings {
  readonly count: number;
  /** Null where the swings were only summed. */
  readonly ids: readonly string[] | null;
}

/** Swings with a value; `each` is null where they were only summed. */
export type MeasuredSwings = ValueSums & {
  readonly each: { readonly ids: readonly string[]; readonly values: ArrayLike<number> } | null;
};

/** The swings of one session and task that the plan does not exclude. */
export interface SessionSwings {
  readonly session: string;
  readonly task: Task;
  readonly measured: MeasuredSwings | null;
  /** Those without a value. */
  readonly missing: CountedSwings;
}

/** The measured swings of a session and task with all the analyses ask of them: whose, under which arm, in which phase and period. */
export interface SwingGroup extends MeasuredSwings {
  readonly session: string;
  readonly golfer: string;
  readonly date: string;
  readonly phase: Phase;
  readonly task: Task;
  /** The arm the golfer was in at that session. */
  readonly arm: string;
  /** What the answer is adjusted for, by name. */
  readonly covariates?: CovariateValues;
  /** 1 for the first period of a crossover; always 1 in the other designs. */
  readonly period: number;
}
