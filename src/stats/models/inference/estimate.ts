import {
  chiSquaredUpper,
  fUpper,
  normalUpper,
  normalUpperQuantile,
  studentTwoSided,
  studentUpperQuantile,
} from '../../../numerics/index.ts';
import type { EffectTest, Estimate } from '../contract.ts';
import type { JointTest } from './inference.ts';

/** An estimate with its two-sided test against zero and its interval; `degrees` null means normal. */
export function estimateOf(
  estimate: number,
  standardError: number,
  degrees: number | null,
  level: number,
): Estimate {
  const statistic = estimate / standardError;
  const tail = (1 - level) / 2;
  const usable = degrees === null || degrees > 0;
  const half =
    standardError *
    (degrees === null
      ? normalUpperQuantile(tail)
      : usable
        ? studentUpperQuantile(tail, degrees)
        : Number.NaN);
  return {
    estimate,
    standardError,
    degreesOfFreedom: degrees,
    statistic,
    pValue:
      degrees === null
        ? 2 * normalUpper(Math.abs(statistic))
        : usable
          ? studentTwoSided(statistic, degrees)
          : Number.NaN,
    interval: [estimate - half, estimate + half],
  };
}

/** The p-value of a joint test; without a denominator q F is chi-squared. */
export function effectTestOf(effect: string, { numeratorDf, denominatorDf, f }: JointTest): EffectTest {
  const usable = f >= 0 && (denominatorDf === null || denominatorDf > 0);
  return {
    effect,
    numeratorDf,
    denominatorDf,
    f,
    pValue: !usable
      ? Number.NaN
      : denominatorDf === null
        ? chiSquaredUpper(numeratorDf * f, numeratorDf)
        : fUpper(f, numeratorDf, denominatorDf),
  };
}
