import { medianInPlace } from '../../numerics/index.ts';
import type { Track } from '../trial.ts';

/** Median of a chi-squared variable with three degrees of freedom. */
const MEDIAN_CHI_SQUARED_3 = 2.365973884375338;
/** Sum of the squared weights 1, -3, 3, -1 of a third difference. */
const THIRD_DIFFERENCE_GAIN = 20;

/**
 * White noise of one landmark, standard deviation of each coordinate, m: from the median length of the third
 * difference between neighbouring frames, from which slow movement drops out. The length is that of the
 * vector, so that turning the axes changes nothing; the median keeps the fast frames about impact from
 * counting as noise. A capture that was smoothed before it was exported shows less noise than it has error.
 *
 * @returns null where fewer than 20 runs of four frames were seen
 */
export function markerNoise(track: Track): number | null {
  const { x, y, z } = track;
  const found = new Float64Array(x.length);
  let count = 0;
  for (let i = 3; i < x.length; i++) {
    const dx = x[i]! - 3 * x[i - 1]! + 3 * x[i - 2]! - x[i - 3]!;
    const dy = y[i]! - 3 * y[i - 1]! + 3 * y[i - 2]! - y[i - 3]!;
    const dz = z[i]! - 3 * z[i - 1]! + 3 * z[i - 2]! - z[i - 3]!;
    const square = dx * dx + dy * dy + dz * dz;
    if (!Number.isNaN(square)) found[count++] = square;
  }
  if (count < 20) return null;
  return Math.sqrt(medianInPlace(found.subarray(0, count))! / (THIRD_DIFFERENCE_GAIN * MEDIAN_CHI_SQUARED_3));
}
