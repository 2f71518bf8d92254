import { choleskyInPlace, solveLower } from '../../../numerics/index.ts';
import { bilinear, dot, type Inference } from './inference.ts';

/** (L beta)' (L C L')^-1 (L beta) / q, the contrasts first brought to unit variance. */
export function waldF(
  contrasts: readonly Float64Array[],
  beta: Float64Array,
  covariance: Float64Array,
): number {
  const q = contrasts.length;
  const scale = contrasts.map((c) => 1 / Math.sqrt(bilinear(c, covariance, c)));
  const a = new Float64Array(q * q);
  const b = Float64Array.from(contrasts, (c, i) => dot(c, beta) * scale[i]!);
  for (let i = 0; i < q; i++)
    for (let j = 0; j <= i; j++)
      a[i * q + j] = i === j ? 1 : bilinear(contrasts[i]!, covariance, contrasts[j]!) * scale[i]! * scale[j]!;
  if (!choleskyInPlace(a, q)) return Number.NaN;
  solveLower(a, q, b);
  return b.reduce((sum, value) => sum + value * value, 0) / q;
}

/** One denominator for all: the residual degrees of freedom, or null for the normal distribution. */
export function fixedDegreesOfFreedom(covariance: Float64Array, degrees: number | null): Inference {
  return {
    covariance,
    degreesOfFreedom: () => degrees,
    test: (contrasts, beta) => ({
      numeratorDf: contrasts.length,
      denominatorDf: degrees,
      f: waldF(contrasts, beta, covariance),
    }),
  };
}
