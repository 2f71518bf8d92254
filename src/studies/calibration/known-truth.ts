import type { CalibratedStudy, CalibrationRow } from './row.ts';

/** Cohorts of one kind, of known truth, put to a study. */
export interface KnownTruth {
  readonly study: CalibratedStudy;
  readonly name: string;
  /** Draws so many cohorts, asks the study of each and counts. The same seed gives the same rows. */
  readonly rows: (cohorts: number, seed: number) => CalibrationRow[];
}
