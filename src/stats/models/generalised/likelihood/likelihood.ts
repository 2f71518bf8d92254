/** What one row adds, as functions of its linear predictor eta. All arrays have one entry per row. */
export interface RowTerms {
  /** Logarithm of the probability, without the part that depends on the data alone. */
  readonly value: Float64Array;
  /** d value / d eta. */
  readonly score: Float64Array;
  /** -d score / d eta, never negative. */
  readonly weight: Float64Array;
  /** d weight / d eta. */
  readonly bend: Float64Array;
}

/** The distribution of an outcome given its linear predictor. */
export interface Likelihood {
  readonly rows: number;
  /** The part of the log likelihood that depends on the data alone (binomial coefficients, factorials). */
  readonly constant: number;
  readonly thresholds: ThresholdTerms | null;
  /** Fills `out` for the linear predictors `eta`. */
  evaluate(eta: Float64Array, out: RowTerms): void;
}

/** The thresholds of an ordinal outcome; derivatives are those at the last `evaluate`. */
export interface ThresholdTerms {
  readonly count: number;
  /** Sets the thresholds, ascending. */
  set(thresholds: ArrayLike<number>): void;
  /** To first order, the change of each row's score on going from the thresholds as set to `thresholds`. */
  scoreShift(thresholds: ArrayLike<number>, out: Float64Array): void;
  /** Adds sum_i weight_i d value_i / d threshold (weight 1 where `weights` is null). */
  addScore(weights: Float64Array | null, out: Float64Array): void;
  /** Adds sum_i (byWeight_i d weight_i + byScore_i d score_i) / d threshold. */
  addBend(byWeight: Float64Array, byScore: Float64Array, out: Float64Array): void;
  /**
   * Adds the negative second derivatives that involve thresholds to an information matrix of the given width, the
   * thresholds first, then `columns` coefficients of `x` (column after column); lower triangle only.
   */
  addInformation(x: Float64Array, columns: number, out: Float64Array, width: number): void;
}

export function rowTerms(rows: number): RowTerms {
  return {
    value: new Float64Array(rows),
    score: new Float64Array(rows),
    weight: new Float64Array(rows),
    bend: new Float64Array(rows),
  };
}
