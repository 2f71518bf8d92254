/** A quantity of a study whose truth was planted, over many cohorts drawn of it. Shares are 0 to 1. */
export interface CalibrationRow {
  readonly study: CalibratedStudy;
  /** What the cohorts were like. */
  readonly case: string;
  readonly quantity: string;
  /** The planted value, in the unit of the quantity; null where it differs from cohort to cohort. */
  readonly truth: number | null;
  /** Whether there is nothing to be found, so that `meaningful` would be an error. */
  readonly nothingThere: boolean;
  readonly cohorts: number;
  /** Cohorts in which the study gave an interval. */
  readonly answered: number;
  /** Share of the intervals, of the cohorts that gave one, that hold the truth; null for what has no interval. */
  readonly covered: number | null;
  /** Its Monte Carlo standard error, from cohort to cohort. */
  readonly coveredError: number | null;
  /** Share of all cohorts with a verdict `meaningful`; where nothing is there, also `opposite`. Null without a verdict. */
  readonly meaningful: number | null;
  readonly meaningfulError: number | null;
  /** Where nothing is there: the largest share of `meaningful` that is still as promised; null where nothing is promised. */
  readonly mostFalse: number | null;
  /** Mean of estimate minus truth, and its Monte Carlo standard error; null for what has no estimate. */
  readonly bias: number | null;
  readonly standardError: number | null;
  /** What the interval promises here, stated before any cohort was drawn unless `why` says otherwise. */
  readonly claim: Claim;
  /** Why it promises something else than to hold the truth as often as it says; empty where it promises just that. */
  readonly why: string;
}

/**
 * `exact`: to hold the truth as often as it says. `at-least`: no less often (the truth is at an edge, or the possible
 * answers are few). `none`: the method does not fit these cohorts, and stands here to show by how much it then misses.
 */
export type Claim = 'exact' | 'at-least' | 'none';

/** The studies whose intervals are counted on cohorts of known truth. */
export const CALIBRATED_STUDIES = [
  'noise',
  'drill-trial',
  'one-golfer',
  'mechanism',
  'instructors',
  'waveform',
] as const;

/** A study that can be calibrated. */
export type CalibratedStudy = (typeof CALIBRATED_STUDIES)[number];

/** A test made to err in 5% errs in 4 to 6% when its thresholds are worked out well. */
export const MOST_FALSE_BY_TEST = 0.06;
