import type { CalibrationRow } from './row.ts';

/** What a row says beyond its counts. */
export type RowLabels = Pick<CalibrationRow, 'study' | 'case' | 'quantity'> &
  Partial<Pick<CalibrationRow, 'truth' | 'nothingThere' | 'claim' | 'why' | 'mostFalse'>>;

/** Verdicts `meaningful` where nothing is there: seldomer than this. */
const MOST_FALSE = 0.05;

/**
 * Counts over cohorts of one quantity: how often intervals hold the truth, what was found, which verdict was given.
 * A cohort may give several intervals (one for each golfer): those of one cohort share its chance, so Monte Carlo
 * errors are taken from cohort to cohort.
 */
export class Tally {
  readonly #held: number[] = [];
  readonly #errors: number[] = [];
  #meaningful: number | null = null;

  /** The intervals of one cohort, with estimates and truths. */
  count(intervals: readonly Found[]): void {
    if (intervals.length === 0) return;
    const held = intervals.filter((one) => one.held).length;
    this.#held.push(held / intervals.length);
    this.#errors.push(intervals.reduce((sum, { value, truth }) => sum + value - truth, 0) / intervals.length);
  }

  /** The verdict of one cohort; never called for a quantity that has none. */
  verdict(meaningful: boolean): void {
    this.#meaningful = (this.#meaningful ?? 0) + Number(meaningful);
  }

  /** The row, of this many cohorts drawn. Numbers keep seven figures. */
  row(labels: RowLabels, cohorts: number): CalibrationRow {
    const answered = this.#held.length;
    const covered = answered === 0 ? null : meanOf(this.#held);
    const meaningful = this.#meaningful === null ? null : this.#meaningful / cohorts;
    return {
      truth: null,
      nothingThere: false,
      claim: 'exact',
      why: '',
      ...labels,
      cohorts,
      answered,
      covered: figures(covered),
      coveredError: figures(spreadOf(this.#held, 0)),
      meaningful: figures(meaningful),
      meaningfulError:
        meaningful === null ? null : figures(Math.sqrt((meaningful * (1 - meaningful)) / cohorts)),
      mostFalse: meaningful === null || !labels.nothingThere ? null : (labels.mostFalse ?? MOST_FALSE),
      bias: answered === 0 ? null : figures(meanOf(this.#errors)),
      standardError: figures(spreadOf(this.#errors, 1)),
    };
  }
}

export interface Found {
  readonly value: number;
  readonly truth: number;
  /** Whether the interval holds the truth. */
  readonly held: boolean;
}

/** An estimate and its interval against the truth. */
export function found(value: number, [low, high]: readonly [number, number], truth: number): Found {
  return { value, truth, held: low <= truth && truth <= high };
}

function meanOf(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

/** Standard error of a mean; with `fewer` taken off the number of values in the variance. */
function spreadOf(values: readonly number[], fewer: 0 | 1): number | null {
  if (values.length <= fewer) return null;
  const mean = meanOf(values);
  const squares = values.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  return Math.sqrt(squares / (values.length - fewer) / values.length);
}

function figures(value: number | null): number | null {
  return value === null ? null : Number(value.toPrecision(7));
}
