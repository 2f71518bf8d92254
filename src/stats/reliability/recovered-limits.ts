import { chiSquaredUpperQuantile, studentQuantile } from '../../numerics/index.ts';
import type { LimitsOfAgreement, LimitsOptions } from './limits-of-agreement.ts';

interface Noise {
  readonly variance: number;
  readonly weight: number;
  readonly degreesOfFreedom: number;
}

interface UnitMeans {
  readonly mean: number;
  /** Variance of the means of units. */
  readonly between: number;
  readonly units: number;
}

/** Limits from the variance of unit means and the noise that they average out: the distances of its limits add in squares. */
export function recovered(
  means: UnitMeans,
  noises: readonly Noise[],
  pairs: number,
  options: LimitsOptions,
): LimitsOfAgreement {
  const tail = (1 - (options.level ?? 0.95)) / 2;
  const parts = [{ variance: means.between, weight: 1, degreesOfFreedom: means.units - 1 }, ...noises].filter(
    ({ variance, weight }) => weight * variance > 0,
  );
  const whole = parts.reduce((sum, { variance, weight }) => sum + weight * variance, 0);
  const distance = (share: number) =>
    Math.sqrt(
      parts.reduce(
        (sum, { variance, weight, degreesOfFreedom: df }) =>
          sum + (weight * variance * (df / chiSquaredUpperQuantile(share, df) - 1)) ** 2,
        0,
      ),
    );
  const interval = [Math.max(0, whole - distance(tail)), whole + distance(1 - tail)] as const;
  return around(means, { value: whole, interval }, pairs, options);
}

/** Mean and limits from the variance of a single difference, the intervals of mean and SD recovered (Zou 2013). */
export function around(
  { mean, between, units }: UnitMeans,
  variance: { readonly value: number; readonly interval: readonly [number, number] },
  pairs: number,
  { level = 0.95, multiplier = 1.96 }: LimitsOptions,
): LimitsOfAgreement {
  const [low, sd, high] = [variance.interval[0], variance.value, variance.interval[1]].map(Math.sqrt) as [
    number,
    number,
    number,
  ];
  const half = studentQuantile((1 + level) / 2, units - 1) * Math.sqrt(between / units);
  const outward = Math.hypot(half, multiplier * (high - sd));
  const inward = Math.hypot(half, multiplier * (sd - low));
  const [lower, upper] = [mean - multiplier * sd, mean + multiplier * sd];
  return {
    pairs,
    units,
    mean: { value: mean, interval: [mean - half, mean + half] },
    sd,
    lower: { value: lower, interval: [lower - outward, lower + inward] },
    upper: { value: upper, interval: [upper - inward, upper + outward] },
    degreesOfFreedom: units - 1,
  };
}
