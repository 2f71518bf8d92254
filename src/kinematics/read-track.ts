import { localPolynomialWeights, splineWeights } from '../numerics/index.ts';
import type { Vector } from './geometry/vector.ts';
import type { MarkerState } from './motion.ts';
import type { Track } from './trial.ts';

/** A reading between frames as a weighted sum of frames: of the value and of its derivatives, per frame. */
export interface WeightedReading {
  readonly frames: readonly number[];
  readonly value: Float64Array;
  readonly slope: Float64Array;
  readonly second: Float64Array;
}

/** Step over which a second derivative is taken from slopes, frames. */
const STEP = 0.25;

let last: { readonly degree: number; readonly at: number; readonly reading: WeightedReading } | null = null;

/** The least-squares polynomial through some frames, read at `at`. Many landmarks are read at one moment in turn. */
export function polynomialReading(frames: readonly number[], degree: number, at: number): WeightedReading {
  if (last && last.degree === degree && last.at === at && sameFrames(last.reading.frames, frames))
    return last.reading;
  const { value, slope } = localPolynomialWeights(frames, degree, at);
  const ahead = localPolynomialWeights(frames, degree, at + STEP).slope;
  const behind = localPolynomialWeights(frames, degree, at - STEP).slope;
  const second = ahead.map((w, i) => (w - behind[i]!) / (2 * STEP));
  const reading = { frames, value, slope, second };
  last = { degree, at, reading };
  return reading;
}

/** The interpolating cubic spline through some frames, read at `at`. */
export function splineReading(frames: readonly number[], at: number): WeightedReading {
  return { frames, ...splineWeights(frames, at) };
}

function sameFrames(a: readonly number[], b: readonly number[]): boolean {
  if (a.length !== b.length) return false;
  for (let i = 0; i < a.length; i++) if (a[i] !== b[i]) return false;
  return true;
}

/**
 * State of a landmark by a weighted reading of its track.
 *
 * @param covariance of two frames' noise, for noise of variance one; null where frames are independent
 */
export function readTrack(
  track: Track,
  { frames, value, slope, second }: WeightedReading,
  rateHz: number,
  noiseVariance: number,
  covariance: ((i: number, j: number) => number) | null,
): MarkerState {
  const n = frames.length;
  const read = (weights: Float64Array, factor: number): Vector => {
    let [x, y, z] = [0, 0, 0];
    for (let i = 0; i < n; i++) {
      const [w, frame] = [weights[i]!, frames[i]!];
      x += w * track.x[frame]!;
      y += w * track.y[frame]!;
      z += w * track.z[frame]!;
    }
    return [x * factor, y * factor, z * factor];
  };
  let [valueGain, slopeGain, crossGain] = [0, 0, 0];
  for (let i = 0; i < n; i++)
    for (let j = covariance ? 0 : i; j < (covariance ? n : i + 1); j++) {
      const r = covariance ? covariance(frames[i]!, frames[j]!) : 1;
      valueGain += value[i]! * r * value[j]!;
      slopeGain += slope[i]! * r * slope[j]!;
      crossGain += value[i]! * r * slope[j]!;
    }
  return {
    position: read(value, 1),
    velocity: read(slope, rateHz),
    acceleration: read(second, rateHz * rateHz),
    positionVariance: valueGain * noiseVariance,
    velocityVariance: slopeGain * noiseVariance * rateHz * rateHz,
    covariance: crossGain * noiseVariance * rateHz,
  };
}
