import type { Cited } from './values.ts';

export interface Visit {
  readonly phase: 'baseline' | 'training' | 'post' | 'retention';
  /** Days from the start of the trial (or of the period). */
  readonly day: number;
}

export interface ParallelDesign extends Cited {
  readonly kind: 'parallel';
  readonly controlShare: number;
  readonly assignedDay: number;
  readonly jitterDays: number;
  readonly visits: readonly Visit[];
}
export interface BeforeAfterDesign extends Cited {
  readonly kind: 'before-after';
  readonly assignedDay: number;
  readonly jitterDays: number;
  readonly visits: readonly Visit[];
}
export interface CrossoverDesign extends Cited {
  readonly kind: 'crossover';
  readonly assignedDay: number;
  readonly jitterDays: number;
  readonly visits: readonly Visit[];
  /** Days from the start of the first period to the start of the second. */
  readonly periodDays: number;
  /** The share of the drill's effect that is still there in a second, control period. */
  readonly leftAfterWashout: number;
}
export interface SteppedStartDesign extends Cited {
  readonly kind: 'stepped-start';
  readonly waves: number;
  readonly daysBetweenWaves: number;
  /** Each group of golfers starts the drill the day after one of these waves (the first wave is 1). */
  readonly startsAfterWave: readonly number[];
}
/** Nobody is assigned to anything: visits as they come. */
export interface RosterDesign extends Cited {
  readonly kind: 'roster';
  readonly jitterDays: number;
  readonly visits: readonly Visit[];
}
/** Few golfers, many sessions each: stretches without the drill (baseline) and with it (training). */
export interface SeriesDesign extends Cited {
  readonly kind: 'series';
  readonly daysBetweenSessions: number;
  /** One line of stretches for each golfer, dealt at random; repeated when there are more golfers. */
  readonly lines: readonly (readonly Stretch[])[];
  /** Share of the drill's effect that stays in a baseline stretch after a training one. */
  readonly leftAfterWithdrawal: number;
  /** Correlation of the day's form with that of the session before. */
  readonly autocorrelation: number;
}
export interface Stretch {
  readonly phase: 'baseline' | 'training';
  readonly sessions: number;
}
export type Design =
  | ParallelDesign
  | BeforeAfterDesign
  | CrossoverDesign
  | SteppedStartDesign
  | RosterDesign
  | SeriesDesign;
