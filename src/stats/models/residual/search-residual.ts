import {
  COARSE_ENOUGH,
  COARSE_STEP,
  centralDifferences,
  differencesAlongAxes,
  FINE_STEP,
  isSettled,
  type Minimum,
  minimiseInTrustRegion,
  polished,
  type SecondOrder,
  slopeAlong,
} from '../../../numerics/index.ts';
import type { Design } from '../design/design.ts';
import type { ResidualParameters } from '../inference/residual-parameters.ts';
import { findOptimum, type Optimum } from '../linear/optimum.ts';
import { profiledDeviance } from '../linear/profiled-deviance.ts';
import {
  jointCovariance,
  mixedDerivatives,
  type Point,
  schurComplement,
  type Whitened,
} from './joint-curvature.ts';
import { type ResidualStructure, whiteningAt } from './residual-structure.ts';
import { whitenedDesign } from './whitened-design.ts';

/** The best residual parameters, the design whitened by them, and what they add to the fit's inference. */
export interface ResidualOptimum {
  readonly variables: Float64Array;
  readonly design: Design;
  readonly optimum: Optimum;
  readonly parameters: ResidualParameters;
  /** Sampling covariance of the variables, k x k, or null. */
  readonly covariance: Float64Array | null;
  readonly value: number;
  readonly converged: boolean;
  readonly gradientNorm: number;
}

/**
 * Minimises the deviance over the residual parameters phi, the random effects' theta being at their best for each phi
 * (found by the engine with its exact derivatives). The derivatives by phi are central differences at fixed theta, of
 * second order on the way and of sixth at the end, there good to about ten digits; with the mixed ones they give the
 * Hessian of the profiled deviance,
 *   H_phi,phi - H_phi,theta H_theta,theta^-1 H_theta,phi,
 * so that each step is a Newton step on all variance parameters together. The best of all `starts` is kept.
 */
export function searchResidual(
  design: Design,
  structure: ResidualStructure,
  starts: readonly Float64Array[],
): ResidualOptimum {
  const criterion = design.model.criterion ?? 'reml';
  const whitenedAt = (variables: Float64Array): Whitened => {
    const white = whitenedDesign(design, whiteningAt(structure, variables));
    return {
      design: white,
      deviance: profiledDeviance(white.assembled.system, white.assembled.shape, criterion),
    };
  };
  const atTheta = (variables: Float64Array, theta: Float64Array): Point => {
    const white = whitenedAt(variables);
    const { value, gradient, residualSum, inverseInformation } = white.deviance.evaluate(theta);
    return {
      value: value - white.design.logWeights,
      gradient: Float64Array.from(gradient),
      residualSum,
      inverse: Float64Array.from(inverseInformation),
    };
  };
  const whitenedOptimum = (variables: Float64Array) => {
    const white = whitenedAt(variables);
    const { system, shape } = white.design.assembled;
    return { white, optimum: findOptimum(system, shape, white.deviance) };
  };
  const curvature = (variables: Float64Array, order: 'second' | 'sixth') => {
    const { white, optimum } = whitenedOptimum(variables);
    const step = order === 'second' ? COARSE_STEP : FINE_STEP;
    const differences = centralDifferences((at) => atTheta(at, optimum.theta), variables, step, order);
    const mixed = mixedDerivatives(optimum, differences.along, step);
    const { value, gradient, hessian } = differences;
    const profiled: SecondOrder = { value, gradient, hessian: schurComplement(optimum, hessian, mixed) };
    return { white, optimum, differences, mixed, profiled };
  };
  let best: Minimum | null = null;
  for (const start of starts) {
    const found = minimiseInTrustRegion((at) => curvature(at, 'second').profiled, start, 200, COARSE_ENOUGH);
    if (!best || found.value < best.value - 1e-9) best = found;
  }
  const slope = (results: readonly Point[], of: (point: Point) => number) =>
    slopeAlong(results.map(of), FINE_STEP);
  const variables = polished((at) => {
    const { theta } = whitenedOptimum(at).optimum;
    const along = differencesAlongAxes((x) => atTheta(x, theta), at, FINE_STEP);
    return Float64Array.from(along, (results) => slope(results, ({ value }) => value));
  }, best!);
  const { white, optimum, differences, mixed, profiled } = curvature(variables, 'sixth');
  const k = variables.length;
  const slopes = differences.along.map((results) =>
    Float64Array.from(differences.here.inverse, (_, at) => slope(results, ({ inverse }) => inverse[at]!)),
  );
  const residualSumBy = differences.along.map((results) => slope(results, ({ residualSum }) => residualSum));
  const spread = jointCovariance(white, optimum, differences.hessian, mixed, residualSumBy);
  const f = optimum.free.length;
  const size = f + k + 1;
  return {
    variables,
    design: white.design,
    optimum,
    parameters: {
      count: k,
      spread,
      slopes,
      moved(parameter, by) {
        const { design: moved, deviance } = whitenedAt(
          variables.map((value, i) => (i === parameter ? value + by : value)),
        );
        return { system: moved.assembled.system, deviance };
      },
    },
    covariance: spread
      ? Float64Array.from(
          { length: k * k },
          (_, at) => spread[(f + Math.floor(at / k)) * size + f + (at % k)]!,
        )
      : null,
    value: differences.value,
    converged: isSettled(profiled, variables) && optimum.converged,
    gradientNorm: Math.max(optimum.gradientNorm, ...differences.gradient.map(Math.abs)),
  };
}
