import type { CalibrationRow } from './calibration/row.ts';
import type { CoverageStanding, FalseStanding } from './calibration/standing.ts';

/** A row with where it stands. */
export interface JudgedRow extends CalibrationRow {
  readonly coveredInterval: readonly [number, number] | null;
  readonly meaningfulInterval: readonly [number, number] | null;
  readonly standing: CoverageStanding;
  readonly falseAlarms: FalseStanding;
}

/** What the page of the calibration is drawn from. Shares are 0 to 1. */
export interface CalibrationTables {
  readonly rows: readonly JudgedRow[];
  readonly band: { readonly low: number; readonly nominal: number; readonly high: number };
}
