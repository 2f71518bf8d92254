import type { Motion } from '../motion.ts';
import { distances, RIGID_PAIRS } from './rigid-pairs.ts';

const WINDOW_S = 0.025;
/** A length counts as changed when its mean square is this many standard errors above what noise gives. */
const SURE = 4;

export interface SegmentLength {
  readonly pair: readonly [string, string];
  /** Median length over the swing, m. */
  readonly usual_m: number;
  /** Measured length less the median, frame by frame, m. */
  readonly deviation: Float64Array;
  readonly noiseVariance: number;
}

/** Lengths of the segments that should be rigid, over frames from..to. */
export function segmentLengths(motion: Motion, from: number, to: number): SegmentLength[] {
  return RIGID_PAIRS.flatMap((pair) => {
    const [a, b] = pair.map((name) => motion.landmarks.get(name));
    if (!a || !b) return [];
    const length = distances(a.raw, b.raw);
    const seen = length
      .slice(from, to + 1)
      .filter((v) => !Number.isNaN(v))
      .sort();
    if (seen.length < 5) return [];
    const usual_m = seen[seen.length >> 1]!;
    return [
      {
        pair,
        usual_m,
        deviation: length.map((v) => v - usual_m),
        noiseVariance: a.noiseVariance + b.noiseVariance,
      },
    ];
  });
}

/**
 * Variance of each coordinate of a landmark that a change of its segments' length betrays at a frame, beyond
 * marker noise, m^2: skin that slides, a swapped marker, a capture smoothed until its fast parts shrank. An
 * error e of the vector between two ends changes the length by its part along the segment, so with equal
 * errors of both ends the variance of each coordinate is half the mean square of the change, taken over 25 ms
 * on either side. A length that is off by a share of itself says the same of speeds, so the second number is the
 * mean square of that share. Zero unless the change is clearly more than noise.
 */
export function rigidityVariance(
  segments: readonly SegmentLength[],
  name: string,
  frame: number,
  rateHz: number,
): { readonly position: number; readonly share: number } {
  const reach = Math.max(1, Math.round(WINDOW_S * rateHz));
  let most = { position: 0, share: 0 };
  for (const segment of segments) {
    if (!segment.pair.includes(name)) continue;
    let sum = 0;
    let count = 0;
    for (let i = Math.round(frame) - reach; i <= Math.round(frame) + reach; i++) {
      const d = segment.deviation[i];
      if (d === undefined || Number.isNaN(d)) continue;
      sum += d * d;
      count++;
    }
    if (count < 3) continue;
    const excess = sum / count - segment.noiseVariance;
    const sure = excess > SURE * segment.noiseVariance * Math.sqrt(2 / count);
    if (sure && excess / 2 > most.position)
      most = { position: excess / 2, share: excess / segment.usual_m ** 2 };
  }
  return most;
}
