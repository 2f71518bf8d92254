import {
  centralDifferences,
  inverseOfPositiveDefinite,
  type Minimum,
  minimiseInTrustRegion,
  type SecondOrder,
  slopeAlong,
} from '../../../numerics/index.ts';
import type { Design } from '../design/design.ts';
import type { ResidualParameters } from '../inference/residual-parameters.ts';
import { findOptimum, type Optimum } from '../linear/optimum.ts';
import { type ProfiledDeviance, profiledDeviance } from '../linear/profiled-deviance.ts';
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

const STEP = 0.02;

interface Whitened {
  readonly design: Design;
  readonly deviance: ProfiledDeviance;
}

/** What the deviance is made of at one point, copied out of the engine's arrays. */
interface Point {
  readonly value: number;
  readonly gradient: Float64Array;
  readonly residualSum: number;
  readonly inverse: Float64Array;
}

/**
 * Minimises the deviance over the residual parameters phi, the random effects' theta being at their best for each phi
 * (found by the engine with its exact derivatives). The derivatives by phi are central differences at fixed theta,
 * good to about ten digits; with the mixed ones they give the Hessian of the profiled deviance,
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
  const curvature = (variables: Float64Array) => {
    const white = whitenedAt(variables);
    const { system, shape } = white.design.assembled;
    const optimum = findOptimum(system, shape, white.deviance);
    const differences = centralDifferences((at) => atTheta(at, optimum.theta), variables, STEP);
    return { white, optimum, differences, mixed: mixedDerivatives(optimum, differences.along) };
  };
  const profiled = (variables: Float64Array): SecondOrder => {
    const { optimum, differences, mixed } = curvature(variables);
    const hessian = schurComplement(optimum, differences.hessian, mixed);
    return { value: differences.value, gradient: differences.gradient, hessian };
  };
  let best: Minimum | null = null;
  for (const start of starts) {
    const found = minimiseInTrustRegion(profiled, start);
    if (!best || found.value < best.value - 1e-9 || (found.converged && !best.converged)) best = found;
  }
  const variables = best!.at;
  const { white, optimum, differences, mixed } = curvature(variables);
  const k = variables.length;
  const slopes = differences.along.map((results) =>
    Float64Array.from(differences.here.inverse, (_, at) =>
      slopeAlong(
        results.map(({ inverse }) => inverse[at]!),
        STEP,
      ),
    ),
  );
  const residualSumBy = differences.along.map((results) =>
    slopeAlong(
      results.map(({ residualSum }) => residualSum),
      STEP,
    ),
  );
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
    converged: best!.converged && optimum.converged,
    gradientNorm: Math.max(optimum.gradientNorm, ...differences.gradient.map(Math.abs)),
  };
}

/** d2 deviance / d phi d theta for the free thetas: k rows of f. */
function mixedDerivatives(optimum: Optimum, along: readonly (readonly Point[])[]): Float64Array[] {
  return along.map((results) =>
    Float64Array.from(optimum.free, (index) =>
      slopeAlong(
        results.map(({ gradient }) => gradient[index]!),
        STEP,
      ),
    ),
  );
}

/** The Hessian by theta, free ones only. */
function freeHessian({ evaluation, theta, free }: Optimum): Float64Array {
  const total = theta.length;
  return Float64Array.from({ length: free.length ** 2 }, (_, at) => {
    const i = free[Math.floor(at / free.length)]!;
    const j = free[at % free.length]!;
    return 0.5 * (evaluation.hessian[i * total + j]! + evaluation.hessian[j * total + i]!);
  });
}

function schurComplement(
  optimum: Optimum,
  hessian: Float64Array,
  mixed: readonly Float64Array[],
): Float64Array {
  const k = mixed.length;
  const f = optimum.free.length;
  const inverse = f === 0 ? null : inverseOfPositiveDefinite(freeHessian(optimum), f);
  if (!inverse) return hessian;
  const out = Float64Array.from(hessian);
  for (let a = 0; a < k; a++)
    for (let b = 0; b < k; b++)
      for (let i = 0; i < f; i++)
        for (let j = 0; j < f; j++)
          out[a * k + b] = out[a * k + b]! - mixed[a]![i]! * inverse[i * f + j]! * mixed[b]![j]!;
  return out;
}

/**
 * Twice the inverse of the Hessian of the deviance before the residual variance is profiled out. With the profiled
 * Hessian H, v degrees of freedom and h = -(d r2 / d parameter) / sigma2 it is [H + h h' / v, h; h', v].
 */
function jointCovariance(
  { design, deviance }: Whitened,
  optimum: Optimum,
  hessian: Float64Array,
  mixed: readonly Float64Array[],
  residualSumBy: readonly number[],
): Float64Array | null {
  const { free, theta, evaluation } = optimum;
  const { degrees } = deviance;
  const f = free.length;
  const k = mixed.length;
  const size = f + k + 1;
  const variance = evaluation.residualSum / degrees;
  const own = freeHessian(optimum);
  const byTheta = design.assembled.shape.chain(theta, evaluation.residualSumBy);
  const h = Float64Array.of(...free.map((index) => byTheta[index]!), ...residualSumBy).map(
    (slope) => -slope / variance,
  );
  const profiled = (i: number, j: number): number => {
    if (i < f) return j < f ? own[i * f + j]! : mixed[j - f]![i]!;
    return j < f ? mixed[i - f]![j]! : hessian[(i - f) * k + j - f]!;
  };
  const joint = new Float64Array(size * size);
  for (let i = 0; i < f + k; i++) {
    for (let j = 0; j < f + k; j++) joint[i * size + j] = profiled(i, j) + (h[i]! * h[j]!) / degrees;
    joint[i * size + size - 1] = h[i]!;
    joint[(size - 1) * size + i] = h[i]!;
  }
  joint[size * size - 1] = degrees;
  return inverseOfPositiveDefinite(joint, size)?.map((value) => 2 * value) ?? null;
}
