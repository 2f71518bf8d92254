/**
 * The model contract: a model is a typed object, and the same object as JSON. There is no formula string.
 * The JSON form is checked against data-schemas/model.schema.json; this file is its type.
 *
 * `Row` is the type of one row of data: column names are then checked when the code is compiled.
 */

export type Columns<Row> = Extract<keyof Row, string>;

/**
 * How a factor becomes columns: against the first level, as deviations that sum to zero, or each level against the
 * mean of those before it.
 */
export type Coding = 'reference' | 'sum' | 'helmert';

/** A column as it stands: a number, or a factor when `levels` is given. The first level is the reference. */
export interface ColumnTerm<Row> {
  readonly column: Columns<Row>;
  readonly levels?: readonly string[];
  readonly coding?: Coding;
}
/** A column raised to a whole power. */
export interface PowerTerm<Row> {
  readonly column: Columns<Row>;
  readonly power: number;
}
/** The column minus its mean in each level of the group. */
export interface WithinTerm<Row> {
  readonly column: Columns<Row>;
  readonly within: Columns<Row>;
}
/** The column's mean in each level of the group. */
export interface BetweenTerm<Row> {
  readonly column: Columns<Row>;
  readonly between: Columns<Row>;
}
/** A natural cubic spline. */
export interface SplineTerm<Row> {
  readonly column: Columns<Row>;
  readonly spline: { readonly degreesOfFreedom: number };
}
/** The product of columns (or of factors, level by level) named elsewhere in `fixed`. */
export interface ProductTerm<Row> {
  readonly product: readonly Columns<Row>[];
}
/** One term of the fixed part of a model. */
export type FixedTerm<Row> =
  | 'intercept'
  | ColumnTerm<Row>
  | PowerTerm<Row>
  | WithinTerm<Row>
  | BetweenTerm<Row>
  | SplineTerm<Row>
  | ProductTerm<Row>;

/** `{ column, level }` is the 0/1 indicator of one level of a factor. */
export type RandomEffect<Row> =
  | 'intercept'
  | Columns<Row>
  | { readonly product: readonly Columns<Row>[] }
  | { readonly column: Columns<Row>; readonly level: string };

/**
 * Effects that vary over the levels of a group, with a normal distribution; full covariance unless `diagonal` is
 * asked for.
 */
export interface RandomTerm<Row> {
  /** One column, or several for a group nested in others, outermost first. */
  readonly group: Columns<Row> | readonly Columns<Row>[];
  readonly effects: readonly RandomEffect<Row>[];
  readonly covariance?: 'full' | 'diagonal';
}

/** What is maximised: the restricted likelihood, or the likelihood itself. */
export type Criterion = 'reml' | 'ml';
/** Which degrees of freedom a test has; `normal` takes them for infinite. */
export type DegreesOfFreedomMethod = 'kenward-roger' | 'satterthwaite' | 'residual' | 'normal';

/**
 * A model as an object: what is explained, by which fixed and random terms, and how the residuals scatter. `Row` is
 * the type of one row of data.
 */
export interface Model<Row = Record<string, unknown>> {
  readonly outcome: Columns<Row>;
  readonly distribution?: 'normal' | 'binary' | 'ordinal' | 'count';
  readonly fixed: readonly FixedTerm<Row>[];
  readonly random?: readonly RandomTerm<Row>[];
  /**
   * How the residuals scatter and hang together: one SD for all, one for each level of a factor (`residualSd` is then
   * that of the first level in the order of their names), or proportional to a power of the fitted value (`residualSd`
   * is then that at a fitted value of 1); independent, or correlating as rho^k when k steps of `order` apart in `group`.
   */
  readonly residual?: {
    readonly variance?: 'constant' | { readonly by: Columns<Row> } | { readonly power: 'fitted' };
    readonly correlation?:
      | 'none'
      | { readonly kind: 'ar1'; readonly group: Columns<Row>; readonly order: Columns<Row> };
  };
  /** Known weights: variance proportional to 1 / weight. */
  readonly weights?: Columns<Row>;
  readonly offset?: Columns<Row>;
  readonly trials?: Columns<Row>;
  /**
   * The measurement SD of a predictor: a number, or the column that holds it. Its slopes are then those on the true
   * values. One column, in a model with random effects of at most one group.
   */
  readonly errorSd?: Readonly<Record<string, number | string>>;
  readonly quadraturePoints?: number;
  readonly criterion?: Criterion;
  readonly inference?: {
    /** Default `satterthwaite` for a model with random effects, `residual` for one without. */
    readonly degreesOfFreedom?: DegreesOfFreedomMethod;
    readonly level?: number;
    /**
     * Least squares with standard errors that do not trust the residuals to be of one variance (`hc3`), or to be
     * independent inside the levels of `group` (`cr2`). Each has degrees of freedom of its own.
     */
    readonly robust?: { readonly kind: 'hc3' } | { readonly kind: 'cr2'; readonly group: Columns<Row> };
  };
}

/** Columns of equal length. A missing value is `null` (or NaN in a number column). */
export type DataColumns = Readonly<Record<string, ArrayLike<number | string | boolean | null>>>;

/**
 * An estimate with its test against zero and its interval, in the unit of the outcome (of its link scale where it is
 * not normal).
 */
export interface Estimate {
  readonly estimate: number;
  readonly standardError: number;
  readonly degreesOfFreedom: number | null;
  readonly statistic: number;
  readonly pValue: number;
  readonly interval: readonly [number, number];
}
/** The estimate of one fixed effect, by the name of its column of the design. */
export interface FixedEstimate extends Estimate {
  readonly term: string;
}
/** The SDs of a group's random effects and how they correlate, in the order of `effects`. */
export interface RandomEstimate {
  /** Outermost first, joined by ` / ` where nested. */
  readonly group: string;
  readonly effects: readonly string[];
  readonly sd: readonly number[];
  readonly correlation: readonly (readonly number[])[];
}
/** Where one rating gives way to the next, on the scale of the link. */
export interface ThresholdEstimate {
  /** The two neighbouring ratings, `1|2`. */
  readonly between: string;
  readonly estimate: number;
  readonly standardError: number;
}
/** The F test of all columns of one effect together. */
export interface EffectTest {
  readonly effect: string;
  readonly numeratorDf: number;
  readonly denominatorDf: number | null;
  readonly f: number;
  readonly pValue: number;
}
/** The predicted random effects of one level of a group, with what stays uncertain about them. */
export interface LevelPrediction {
  readonly group: string;
  readonly level: string;
  readonly effects: readonly string[];
  readonly values: readonly number[];
  readonly conditionalSd: readonly number[];
  readonly conditionalCovariance: readonly (readonly number[])[];
}
/** Whether a fit can be used, and what is to be known about it. */
export interface Diagnosis {
  readonly converged: boolean;
  readonly gradientNorm: number;
  /** In words: which variance is zero, which correlation is at plus or minus 1. */
  readonly boundary: readonly string[];
  readonly notes: readonly string[];
}

/** A ratio of residual SDs (`SD B / A`), the `power` of the fitted value, or the `autocorrelation`. */
export interface ResidualParameterEstimate {
  readonly parameter: string;
  readonly estimate: number;
  /** Null where the curvature of the likelihood gives none; `diagnosis` then says so. */
  readonly standardError: number | null;
  readonly interval: readonly [number, number] | null;
}

/** The true values behind a predictor that is measured with error (`errorSd`), given the model's other columns. */
export interface PredictorErrorEstimate {
  readonly column: string;
  /** Root mean square of the stated measurement SDs. */
  readonly errorSd: number;
  /** SD of the true values inside a group, or over all rows where the model has no group. */
  readonly trueSd: number;
  /** SD of the groups' true levels; null where the model has no group. */
  readonly trueSdBetween: number | null;
  /** The true share of the variance inside a group: what an effect inside groups would be multiplied by, were the error ignored. */
  readonly reliability: number;
}

/** What `fit` prints with --json, key for key. */
export interface FitResult {
  readonly observations: number;
  readonly groups: Readonly<Record<string, number>>;
  readonly leftOut: readonly { readonly row: number; readonly why: string }[];
  readonly fixed: readonly FixedEstimate[];
  readonly covariance: readonly (readonly number[])[];
  readonly random: readonly RandomEstimate[];
  /**
   * For a binary or ordinal outcome pi / sqrt 3, the SD of the logistic distribution on the scale of the effects; for a
   * count 0, since its spread follows from its mean.
   */
  readonly residualSd: number;
  /** With residual variance by a factor: each other level's residual SD over `residualSd`. */
  readonly residualSdRatio?: Readonly<Record<string, number>>;
  readonly residualParameters?: readonly ResidualParameterEstimate[];
  readonly predictorError?: PredictorErrorEstimate;
  /** Of an ordinal outcome: logit P(rating up to the first of the two) = threshold - the fitted sum of effects. */
  readonly thresholds?: readonly ThresholdEstimate[];
  readonly logLikelihood: number;
  readonly criterion: { readonly kind: Criterion; readonly value: number };
  readonly aic: number;
  readonly bic: number;
  readonly tests: readonly EffectTest[];
  readonly predictions?: readonly LevelPrediction[];
  readonly diagnosis: Diagnosis;
}

/** Why a model cannot be fitted to the data: the request is wrong, and how to put it right. */
export interface ModelProblem {
  readonly kind:
    | 'unknown-column'
    | 'one-level'
    | 'too-many-effects'
    | 'not-a-number'
    | 'no-rows'
    | 'collinear'
    | 'constant-outcome'
    | 'bad-outcome'
    | 'separation'
    | 'not-available'
    | 'bad-model';
  /** JSON path in the model, such as `/fixed/2/column`. */
  readonly where: string;
  readonly found: string;
  readonly expected: string;
  readonly remedy: string;
}

/** A weighted sum of fixed effects (by term name) and, when `random` is given, of one level's random effects. */
export interface Combination {
  readonly fixed: Readonly<Record<string, number>>;
  readonly random?: readonly {
    readonly group: string;
    readonly level: string;
    readonly weights: Readonly<Record<string, number>>;
  }[];
}

/**
 * A fitted model: the plain result, and questions that can be put to it.
 * `combine` without random parts is a contrast of fixed effects with the model's own degrees of freedom;
 * with random parts it is a prediction, and its standard error is that of the prediction error
 * (fixed and random parts jointly, from the inverse of the mixed-model equations).
 */
export interface Fit {
  readonly model: Model;
  readonly result: FitResult;
  combine(combination: Combination, level?: number): Estimate;
}

/** A fit, or every reason why there is none. */
export type FitOutcome =
  | { readonly ok: true; readonly fit: Fit }
  | { readonly ok: false; readonly problems: readonly ModelProblem[] };
