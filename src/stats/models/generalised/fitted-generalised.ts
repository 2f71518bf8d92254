import type { GeneralisedDesign } from './generalised-design.ts';
import type { RandomLayout } from './random/random-layout.ts';
import type { SparseFactor } from './random/sparse-factor.ts';

/** A fitted model of a yes/no, ordinal or count outcome. */
export interface FittedGeneralised {
  readonly design: GeneralisedDesign;
  /** Absolute. */
  readonly logLikelihood: number;
  /** Fixed effects and thresholds as named. */
  readonly coefficients: Float64Array;
  readonly thresholds: Float64Array;
  /** (thresholds + fixed effects) x free: derivative of what is named by the free parameters of the fit. */
  readonly toNamed: Float64Array;
  /** free x free sampling covariance of the free parameters. */
  readonly covariance: Float64Array;
  readonly free: number;
  /** All parameters, those at a boundary included. */
  readonly parameters: number;
  readonly theta: Float64Array;
  readonly ranks: readonly number[];
  readonly random: FittedEffects | null;
  readonly converged: boolean;
  readonly gradientNorm: number;
}

export interface FittedEffects {
  readonly layout: RandomLayout;
  /** Random effects at their conditional mode, in the coordinates of the fit. */
  readonly effects: Float64Array;
  /** For each term its Lambda. */
  readonly lambda: readonly Float64Array[];
  /** H at the mode, factored and inverted on its pattern. */
  readonly factor: SparseFactor;
  /** effects x free: derivative of the effects by the free parameters. */
  readonly effectsBy: Float64Array;
  /** The linear predictor of each row at the mode. */
  readonly eta: Float64Array;
}
