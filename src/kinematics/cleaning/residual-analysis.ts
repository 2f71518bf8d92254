import type { Track } from '../trial.ts';
import { smoothTrack } from './smooth.ts';
import { createLowPass, FEWEST_SAMPLES_A_PERIOD } from './smoother.ts';

export interface ResidualAnalysis {
  /** Whole Hz. */
  readonly cutoffHz: number;
  /** Intercept of the straight part of the curve at 0 Hz: what is taken for noise, of each coordinate, m. */
  readonly noise_m: number;
}

/** The curve is taken as straight, all noise, from a quarter of the sampling rate to two fifths of it. */
const STRAIGHT_PART = [0.25, 0.3, 0.35, 0.4] as const;
const LOWEST_CUTOFF_HZ = 4;
const FEWEST_FRAMES = 40;

/**
 * Cut-off of one marker by residual analysis. R(f) is the root mean square, over frames and the three coordinates, of
 * what the two-pass filter with cut-off f takes away. A straight line through R at 0.25, 0.3, 0.35 and 0.4 of the
 * sampling rate is carried back to 0 Hz; its height there stands for the noise (of white noise of 1 mm it finds
 * 0.998 mm). The cut-off is the lowest whole Hz at which R has fallen to that height, so that as much of the motion is
 * lost as noise is let through; at least 4 Hz and at most a fifth of the sampling rate. One cut-off serves the three
 * coordinates, so that turning the axes changes nothing.
 *
 * @param split the last frame before impact, which is not filtered through; null filters through
 * @returns null where fewer than 40 frames were seen
 * @see Winter DA (2009) Biomechanics and Motor Control of Human Movement, 4th ed., section 3.4.4.3
 */
export function residualAnalysis(
  track: Track,
  rateHz: number,
  split: number | null,
): ResidualAnalysis | null {
  let seen = 0;
  for (const x of track.x) if (!Number.isNaN(x)) seen++;
  if (seen < FEWEST_FRAMES) return null;
  const residual = (cutoffHz: number): number => residualOf(track, cutoffHz, rateHz, split, seen);
  const noise_m = interceptOf(
    STRAIGHT_PART,
    STRAIGHT_PART.map((share) => residual(share * rateHz)),
  );
  let low = LOWEST_CUTOFF_HZ;
  let high = Math.max(low, Math.floor(rateHz / FEWEST_SAMPLES_A_PERIOD));
  while (low < high) {
    const middle = (low + high) >> 1;
    if (residual(middle) <= noise_m) high = middle;
    else low = middle + 1;
  }
  return { cutoffHz: low, noise_m };
}

/** R(f), m. */
function residualOf(
  track: Track,
  cutoffHz: number,
  rateHz: number,
  split: number | null,
  seen: number,
): number {
  const smooth = smoothTrack(track, createLowPass(cutoffHz, rateHz), split);
  let sum = 0;
  for (const axis of ['x', 'y', 'z'] as const) {
    const [raw, filtered] = [track[axis], smooth[axis]];
    for (let i = 0; i < raw.length; i++) {
      const taken = raw[i]! - filtered[i]!;
      if (!Number.isNaN(taken)) sum += taken * taken;
    }
  }
  return Math.sqrt(sum / (3 * seen));
}

/** Height at 0 of the least-squares line. */
function interceptOf(x: readonly number[], y: readonly number[]): number {
  const n = x.length;
  const [meanX, meanY] = [x.reduce((a, b) => a + b) / n, y.reduce((a, b) => a + b) / n];
  let [sxy, sxx] = [0, 0];
  x.forEach((v, i) => {
    sxy += (v - meanX) * (y[i]! - meanY);
    sxx += (v - meanX) ** 2;
  });
  return meanY - (sxy / sxx) * meanX;
}
