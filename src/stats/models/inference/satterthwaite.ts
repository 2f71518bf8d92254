import { inverseOfPositiveDefinite, symmetricEigen } from '../../../numerics/index.ts';
import type { CovarianceShape } from '../linear/covariance-shape.ts';
import type { Optimum } from '../linear/optimum.ts';
import type { ProfiledDeviance } from '../linear/profiled-deviance.ts';
import { bilinear, dot, type Inference } from './inference.ts';
import type { ResidualParameters } from './residual-parameters.ts';
import { waldF } from './wald-test.ts';

/**
 * Sampling covariance of the variance parameters (the free thetas, then the logarithm of the residual
 * variance): twice the inverse of the exact Hessian of the deviance before profiling. Parameters held at the
 * boundary are taken as known. Null where the Hessian is not positive definite.
 */
export function varianceParameterCovariance(
  optimum: Optimum,
  shape: CovarianceShape,
  degrees: number,
): Float64Array | null {
  const { evaluation, theta, free } = optimum;
  const total = theta.length;
  const variance = evaluation.residualSum / degrees;
  const gradient = evaluation.logTermsBy.map((g, i) => g + evaluation.residualSumBy[i]! / variance);
  const byElement = evaluation.logTermsByTwo.map((h, i) => h + evaluation.residualSumByTwo[i]! / variance);
  const hessian = new Float64Array(total * total);
  shape.fillTheta(theta, gradient, byElement, { gradient: new Float64Array(total), hessian });
  const residual = shape.chain(theta, evaluation.residualSumBy);
  const k = free.length + 1;
  const joint = new Float64Array(k * k);
  free.forEach((index, i) => {
    free.forEach((other, j) => {
      joint[i * k + j] = 0.5 * (hessian[index * total + other]! + hessian[other * total + index]!);
    });
    joint[i * k + k - 1] = -residual[index]! / variance;
    joint[(k - 1) * k + i] = joint[i * k + k - 1]!;
  });
  joint[k * k - 1] = degrees;
  return inverseOfPositiveDefinite(joint, k)?.map((value) => 2 * value) ?? null;
}

/** 2 f^2 / Var(f) for an estimated variance f with gradient g by the variance parameters. */
export function satterthwaiteDegrees(f: number, gradient: Float64Array, covariance: Float64Array): number {
  return (2 * f * f) / bilinear(gradient, covariance, gradient);
}

/**
 * Satterthwaite's degrees of freedom. A contrast's variance f(theta, sigma) has df = 2 f^2 / (g' A g), g being its
 * gradient and A the covariance of the variance parameters. A joint test is split into independent single ones
 * by the eigenvectors of the contrasts' covariance; with their df v_m, E = sum over v_m > 2 of v_m / (v_m - 2),
 * the denominator is 2 E / (E - q).
 * Sources: Giesbrecht and Burns (1985), Biometrics 41, 477-486; Fai and Cornelius (1996), J Statistical
 * Computation and Simulation 54, 363-378.
 */
export function satterthwaite(
  optimum: Optimum,
  shape: CovarianceShape,
  deviance: ProfiledDeviance,
  residual: ResidualParameters | null,
): Inference | null {
  const spread = residual ? residual.spread : varianceParameterCovariance(optimum, shape, deviance.degrees);
  if (!spread) return null;
  const { evaluation, theta, free } = optimum;
  const covariance = evaluation.inverseInformation;
  const p = evaluation.beta.length;
  const D = p + 1;
  const single = (contrast: Float64Array): number => {
    const f = bilinear(contrast, covariance, contrast);
    const carried = new Float64Array(p);
    for (let a = 0; a < p; a++)
      for (let b = 0; b < p; b++) carried[a] = carried[a]! + covariance[a * p + b]! * contrast[b]!;
    const byElement = Float64Array.from(evaluation.eliminated.cornerBy, (corner) => {
      let sum = 0;
      for (let a = 0; a < p; a++)
        for (let b = 0; b < p; b++) sum -= carried[a]! * corner[a * D + b]! * carried[b]!;
      return sum;
    });
    const byTheta = shape.chain(theta, byElement);
    const byResidual = residual?.slopes.map((slope) => bilinear(contrast, slope, contrast)) ?? [];
    const gradient = Float64Array.of(...free.map((index) => byTheta[index]!), ...byResidual, f);
    return satterthwaiteDegrees(f, gradient, spread);
  };
  return satterthwaiteTests(covariance, p, single);
}

/** Wald tests with the covariance given: joint ones are split into single contrasts, whose df `single` gives. */
export function satterthwaiteTests(
  covariance: Float64Array,
  p: number,
  single: (contrast: Float64Array) => number,
): Inference {
  return {
    covariance,
    degreesOfFreedom: single,
    test(contrasts, beta) {
      const q = contrasts.length;
      const f = waldF(contrasts, beta, covariance);
      if (q === 1) return { numeratorDf: 1, denominatorDf: single(contrasts[0]!), f };
      const joint = new Float64Array(q * q);
      contrasts.forEach((c, i) => {
        contrasts.forEach((d, j) => {
          joint[i * q + j] = bilinear(c, covariance, d);
        });
      });
      const { vectors } = symmetricEigen(joint, q);
      const degrees = contrasts.map((_, k) => {
        const turned = new Float64Array(p);
        contrasts.forEach((c, i) => {
          for (let a = 0; a < p; a++) turned[a] = turned[a]! + vectors[i * q + k]! * c[a]!;
        });
        return single(turned);
      });
      return { numeratorDf: q, denominatorDf: jointDegrees(degrees), f };
    },
  };
}

function jointDegrees(degrees: readonly number[]): number {
  const q = degrees.length;
  const mean = dot(Float64Array.from(degrees), new Float64Array(q).fill(1 / q));
  if (degrees.every((v) => Math.abs(v - mean) < 1e-8 * mean)) return mean;
  if (degrees.some((v) => v <= 2)) return 2;
  const e = degrees.reduce((sum, v) => sum + v / (v - 2), 0);
  return (2 * e) / (e - q);
}
