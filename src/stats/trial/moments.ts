import { median, studentQuantile } from '../../numerics/index.ts';

/** Count, mean and SD (divisor n - 1) of a sample; the SD is null below two values. */
export interface Moments {
  readonly n: number;
  readonly mean: number;
  readonly sd: number | null;
}

/**
 * Moments of the values, or null when there are none. Two passes, so a large mean does not cost digits.
 * @example moments([1, 2, 3]) // { n: 3, mean: 2, sd: 1 }
 */
export function moments(values: readonly number[]): Moments | null {
  const n = values.length;
  if (n === 0) return null;
  let sum = 0;
  for (const value of values) sum += value;
  const mean = sum / n;
  if (n === 1) return { n, mean, sd: null };
  let squares = 0;
  for (const value of values) squares += (value - mean) ** 2;
  return { n, mean, sd: Math.sqrt(squares / (n - 1)) };
}

/**
 * Interval of a mean from Student's t with n - 1 degrees of freedom; null below two values.
 *
 * @example meanInterval([1, 2, 3, 4, 5], 0.95) // [1.0368, 4.9632]
 */
export function meanInterval(values: readonly number[], level: number): [number, number] | null {
  const sample = moments(values);
  if (sample === null || sample.sd === null) return null;
  const half = (studentQuantile((1 + level) / 2, sample.n - 1) * sample.sd) / Math.sqrt(sample.n);
  return [sample.mean - half, sample.mean + half];
}

/** A difference of means with its t interval, in the unit of the values. */
export interface MeanDifference {
  readonly difference: number;
  readonly standardError: number;
  readonly degreesOfFreedom: number;
  readonly interval: readonly [number, number];
}

/**
 * Difference of two independent means (first minus second) without assuming equal spreads: the
 * Welch-Satterthwaite interval (Welch 1947, Biometrika 34:28-35). Null when either sample has fewer than two
 * values, or when neither varies.
 *
 * @param level of the interval, such as 0.95
 * @example
 * // Means 6 and 2; s^2 / n is 4 and 1: (4 + 1)^2 / (4^2 + 1^2) degrees of freedom. Interval by R's t.test, 4.2.
 * unequalSpreadDifference([4, 8], [1, 3], 0.95)
 * // { difference: 4, standardError: 2.23607, degreesOfFreedom: 25/17, interval: [-9.83705, 17.83705] }
 */
export function unequalSpreadDifference(
  first: readonly number[],
  second: readonly number[],
  level: number,
): MeanDifference | null {
  const a = moments(first);
  const b = moments(second);
  if (a === null || b === null || a.sd === null || b.sd === null) return null;
  const va = a.sd ** 2 / a.n;
  const vb = b.sd ** 2 / b.n;
  if (va + vb === 0) return null;
  const degreesOfFreedom = (va + vb) ** 2 / (va ** 2 / (a.n - 1) + vb ** 2 / (b.n - 1));
  const standardError = Math.sqrt(va + vb);
  const difference = a.mean - b.mean;
  const half = studentQuantile((1 + level) / 2, degreesOfFreedom) * standardError;
  return { difference, standardError, degreesOfFreedom, interval: [difference - half, difference + half] };
}

/**
 * How far each value lies above (positive) or below the median, in robust SDs (1.4826 x the median absolute deviation,
 * which equals the SD for normal data). Null without values, and when more than half of them are equal, so that the
 * spread is 0.
 *
 * @example robustDistances([1, 2, 3, 4, 10]) // [-1.349, -0.6745, 0, 0.6745, 4.7214]: 7 / 1.4826 for the last
 */
export function robustDistances(values: readonly number[]): number[] | null {
  const centre = median(values);
  if (centre === null) return null;
  const spread = 1.4826 * median(values.map((value) => Math.abs(value - centre)))!;
  return spread > 0 ? values.map((value) => (value - centre) / spread) : null;
}

/**
 * Skewness (the adjusted Fisher-Pearson coefficient G1) and its standard error under normality
 * (Joanes and Gill 1998, The Statistician 47:183-189). Null below three values or without spread.
 * @example skewness([1, 2, 3])?.value // 0
 */
export function skewness(values: readonly number[]): { value: number; standardError: number } | null {
  const sample = moments(values);
  if (sample === null || sample.n < 3 || sample.sd === null || sample.sd === 0) return null;
  const { n, mean } = sample;
  let squares = 0;
  let cubes = 0;
  for (const value of values) {
    squares += (value - mean) ** 2;
    cubes += (value - mean) ** 3;
  }
  const g1 = cubes / n / (squares / n) ** 1.5;
  return {
    value: (g1 * Math.sqrt(n * (n - 1))) / (n - 2),
    standardError: Math.sqrt((6 * n * (n - 1)) / ((n - 2) * (n + 1) * (n + 3))),
  };
}
