import { studentQuantile, studentTwoSided } from '../../numerics/index.ts';
import { moments } from '../trial/moments.ts';
import { checkValues } from './check-values.ts';

/** How the difference of two methods moves with the size of what is measured. */
export interface ProportionalBias {
  /** Change of the difference for each unit of the mean of both. */
  readonly slope: number;
  readonly interval: readonly [number, number];
  readonly degreesOfFreedom: number;
  readonly pValue: number;
}

/**
 * Slope of the difference (first minus second) on the mean of both, by least squares, one pair for each unit. It is not
 * zero also where one method is noisier than the other. Null below three pairs or where the means do not vary.
 *
 * Source: Bland and Altman 1999, Stat Methods Med Res 8:135-160, section 3.2.
 *
 * @example proportionalBias([[1, 2], [2, 4], [3, 6.1]]).slope // -0.6886
 */
export function proportionalBias(
  pairs: readonly (readonly [number, number])[],
  level = 0.95,
): ProportionalBias | null {
  checkValues('proportionalBias', pairs.flat(), level);
  const n = pairs.length;
  if (n < 3) return null;
  const x = pairs.map(([first, second]) => (first + second) / 2);
  const y = pairs.map(([first, second]) => first - second);
  const [middleX, middleY] = [moments(x)!.mean, moments(y)!.mean];
  let sxx = 0;
  let sxy = 0;
  x.forEach((value, i) => {
    sxx += (value - middleX) ** 2;
    sxy += (value - middleX) * (y[i]! - middleY);
  });
  if (sxx === 0) return null;
  const slope = sxy / sxx;
  const left = x.reduce((sum, value, i) => sum + (y[i]! - middleY - slope * (value - middleX)) ** 2, 0);
  const error = Math.sqrt(left / (n - 2) / sxx);
  const half = studentQuantile((1 + level) / 2, n - 2) * error;
  return {
    slope,
    interval: [slope - half, slope + half],
    degreesOfFreedom: n - 2,
    pValue: error === 0 ? (slope === 0 ? 1 : 0) : studentTwoSided(slope / error, n - 2),
  };
}
