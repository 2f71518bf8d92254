import type { BlockSystem } from '../linear/block-system.ts';
import type { ProfiledDeviance } from '../linear/profiled-deviance.ts';

/** What the parameters of a residual structure add to the inference of a fit whose rows they have whitened. */
export interface ResidualParameters {
  readonly count: number;
  /**
   * Sampling covariance of the free thetas, the residual parameters and the logarithm of the residual variance, in
   * this order; null where the curvature at the optimum is not that of a minimum.
   */
  readonly spread: Float64Array | null;
  /** Derivative of (X' V^-1 X)^-1, in units of the residual variance, by each residual parameter, p x p. */
  readonly slopes: readonly Float64Array[];
  /** The system whitened with one residual parameter moved by so much. */
  moved(parameter: number, by: number): { readonly system: BlockSystem; readonly deviance: ProfiledDeviance };
}
