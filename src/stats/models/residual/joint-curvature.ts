import { inverseOfPositiveDefinite, slopeAlong } from '../../../numerics/index.ts';
import type { Design } from '../design/design.ts';
import type { Optimum } from '../linear/optimum.ts';
import type { ProfiledDeviance } from '../linear/profiled-deviance.ts';

export interface Whitened {
  readonly design: Design;
  readonly deviance: ProfiledDeviance;
}

/** What the deviance is made of at one point, copied out of the engine's arrays. */
export interface Point {
  readonly value: number;
  readonly gradient: Float64Array;
  readonly residualSum: number;
  readonly inverse: Float64Array;
}

/** d2 deviance / d phi d theta for the free thetas: k rows of f. */
export function mixedDerivatives(
  optimum: Optimum,
  along: readonly (readonly Point[])[],
  step: number,
): Float64Array[] {
  return along.map((results) =>
    Float64Array.from(optimum.free, (index) =>
      slopeAlong(
        results.map(({ gradient }) => gradient[index]!),
        step,
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

/** The Hessian by phi once theta follows at its best. */
export function schurComplement(
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
export function jointCovariance(
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
