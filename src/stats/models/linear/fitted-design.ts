import type { DegreesOfFreedomMethod, Fit } from '../contract.ts';
import type { Design } from '../design/design.ts';
import type { Inference } from '../inference/inference.ts';
import type { ResidualParameters } from '../inference/residual-parameters.ts';
import type { Optimum } from './optimum.ts';
import type { ProfiledDeviance } from './profiled-deviance.ts';

/** A fitted design in the coordinates of the fit, with the way back. */
export interface FittedDesign {
  readonly design: Design;
  readonly deviance: ProfiledDeviance;
  readonly optimum: Optimum;
  readonly inference: Inference;
  /** Residual SD in the outcome's unit. */
  readonly residualSd: number;
  /** Fixed effects as named. */
  readonly coefficients: Float64Array;
  readonly level: number;
  /** The method of the degrees of freedom, which is not the model's where that would take too long. */
  readonly method: DegreesOfFreedomMethod;
  /** Null where the residuals are independent and of equal variance (up to known weights). */
  readonly residual: ResidualParameters | null;
}

const states = new WeakMap<Fit, FittedDesign>();

/** Keeps what a fit was made of, for the questions that need more than its result. */
export function rememberState(fit: Fit, state: FittedDesign): void {
  states.set(fit, state);
}

/** What a linear fit was made of, or null for a fit of another kind. The public `Fit` stays a plain result. */
export function stateOf(fit: Fit): FittedDesign | null {
  return states.get(fit) ?? null;
}
