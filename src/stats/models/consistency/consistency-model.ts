import type { Columns, Diagnosis, Estimate, FixedEstimate, FixedTerm, ModelProblem } from '../contract.ts';

/**
 * Consistency as an outcome: each golfer (level of `group`) has a mean of their own and a residual SD of their own.
 *   y = fixed part + golfer's mean effect + residual,  log SD of the residual = spread's fixed part + golfer's effect,
 * the golfer's two effects being normal and correlated.
 */
export interface ConsistencyModel<Row = Record<string, unknown>> {
  readonly outcome: Columns<Row>;
  /** Terms of the mean. */
  readonly fixed: readonly FixedTerm<Row>[];
  /** Terms of the logarithm of the residual SD; usually begins with "intercept". */
  readonly spread: { readonly fixed: readonly FixedTerm<Row>[] };
  readonly group: Columns<Row>;
  /** Points of the quadrature over the golfer's effect on the spread; 21 when not said. */
  readonly quadraturePoints?: number;
  /** Level of the intervals; 0.95 when not said. */
  readonly level?: number;
}

/** An SD or a correlation; standard error and interval are null where it stands at a boundary. */
export interface GroupParameter {
  readonly estimate: number;
  readonly standardError: number | null;
  readonly interval: readonly [number, number] | null;
}

/** One level's own mean and spread, given the data. */
export interface GroupConsistency {
  readonly level: string;
  readonly rows: number;
  /** Deviation of its mean from what the fixed part says, and the SD of what is left unknown. */
  readonly meanEffect: number;
  readonly meanEffectSd: number;
  /** Its residual SD under the conditions of its own rows (the mean of the logarithm over them). */
  readonly sd: number;
  readonly sdInterval: readonly [number, number];
  /** Its residual SD over that of a typical level under the same conditions. */
  readonly sdRatio: number;
}

/**
 * A fit in which each group has a mean and a residual SD of its own; variances in the squared unit of the outcome,
 * spreads on the logarithm of the SD.
 */
export interface ConsistencyResult {
  readonly observations: number;
  readonly groups: number;
  readonly leftOut: readonly { readonly row: number; readonly why: string }[];
  readonly fixed: readonly FixedEstimate[];
  /** Effects on the logarithm of the residual SD. */
  readonly spread: readonly FixedEstimate[];
  /** SD of the groups' mean effects, SD of their effects on the log residual SD, and how the two correlate. */
  readonly groupMeanSd: GroupParameter;
  readonly groupLogSd: GroupParameter;
  readonly correlation: GroupParameter;
  readonly logLikelihood: number;
  readonly aic: number;
  readonly bic: number;
  /**
   * Whether the groups differ in spread at all: twice the gain in log likelihood over a model in which they do not, and
   * its tail probability under an even mixture of chi-squared with 1 and 2 degrees of freedom.
   */
  readonly differInSpread: {
    readonly logLikelihoodIfNot: number;
    readonly statistic: number;
    readonly pValue: number;
  };
  readonly predictions: readonly GroupConsistency[];
  readonly diagnosis: Diagnosis;
}

/** A fit, with weighted sums of its effects on the mean or on the log SD; or why there is none. */
export type ConsistencyOutcome =
  | {
      readonly ok: true;
      readonly result: ConsistencyResult;
      /** A weighted sum of effects (by term name) with its standard error. Throws on an unknown term. */
      combine(of: 'fixed' | 'spread', weights: Readonly<Record<string, number>>, level?: number): Estimate;
    }
  | { readonly ok: false; readonly problems: readonly ModelProblem[] };
