import {
  butterworthLowPass,
  filterTwoPass,
  localPolynomialWeights,
  type SecondOrderFilter,
  twoPassDesignCutoff,
} from '../../numerics/index.ts';
import { mapTrack, type Track } from '../trial.ts';
import { runsOf } from './gaps.ts';

/** A two-pass low-pass filter with the lengths that go with it. */
export interface Smoother {
  /** Frequency at which both passes together let 1/sqrt(2) of the amplitude through, Hz. */
  readonly cutoffHz: number;
  readonly filter: SecondOrderFilter;
  /** Frames of padding: one and a half periods of the cut-off, after which the filter has forgotten. */
  readonly pad: number;
  /** Frames from which the trend at an end is taken: one period of the cut-off. */
  readonly trend: number;
}

export function createSmoother(cutoffHz: number, rateHz: number): Smoother {
  return {
    cutoffHz,
    filter: butterworthLowPass(twoPassDesignCutoff(cutoffHz, rateHz), rateHz),
    pad: Math.ceil((1.5 * rateHz) / cutoffHz),
    trend: Math.max(6, Math.ceil(rateHz / cutoffHz)),
  };
}

/**
 * Filters each run of seen samples of a track, zero lag. A run that spans `split` (the last frame before
 * impact) is filtered as two, so that contact does not smear; null filters through.
 *
 * Each run is continued beyond its ends by reflection about its own trend: a parabola fitted to the last
 * period is carried on and the residuals are mirrored onto it. Two passes of a second-order Butterworth
 * leave a parabola as it is, so that unlike plain reflection, which turns an acceleration round, this keeps
 * speed and curvature at the end, where the readings at impact are.
 */
export function smoothTrack(track: Track, smoother: Smoother, split: number | null): Track {
  const runs = runsOf(track.x).flatMap((run) =>
    split !== null && run.from <= split && run.to > split
      ? [
          { from: run.from, to: split },
          { from: split + 1, to: run.to },
        ]
      : [run],
  );
  return mapTrack(track, (values) => {
    const out = values.slice();
    for (const { from, to } of runs) out.set(smoothRun(values.subarray(from, to + 1), smoother), from);
    return out;
  });
}

function smoothRun(values: Float64Array, { filter, pad, trend }: Smoother): Float64Array {
  const n = values.length;
  if (n < 6) return values;
  const reach = Math.min(pad, n - 1);
  const extended = new Float64Array(n + 2 * reach);
  extended.set(values, reach);
  const before = continuation(values.slice().reverse(), reach, trend);
  for (let k = 1; k <= reach; k++) extended[reach - k] = before[k - 1]!;
  extended.set(continuation(values, reach, trend), reach + n);
  return filterTwoPass(extended, filter, 0).slice(reach, reach + n);
}

/** The `reach` samples after the end of `values`: trend plus mirrored residual. */
function continuation(values: Float64Array, reach: number, trend: number): Float64Array {
  const n = values.length;
  const used = Math.min(trend, n);
  const times = Array.from({ length: used }, (_, i) => i - used + 1);
  const fitted = (at: number): number => {
    const { value } = localPolynomialWeights(times, 2, at);
    let sum = 0;
    for (let i = 0; i < used; i++) sum += value[i]! * values[n - used + i]!;
    return sum;
  };
  // Second differences carry the parabola on without fitting again.
  const [p0, p1, p2] = [fitted(0), fitted(1), fitted(2)];
  const curve = p2 - 2 * p1 + p0;
  const parabola = (k: number): number => p0 + k * (p1 - p0) + (k * (k - 1) * curve) / 2;
  return Float64Array.from({ length: reach }, (_, i) => {
    const k = i + 1;
    const mirrored = n - 1 - (k - 1);
    return parabola(k) + (k <= used ? values[mirrored]! - parabola(-(k - 1)) : 0);
  });
}

/**
 * How much of white noise is left in a filtered signal, away from its ends: autocovariance at lags 0, 1, 2 ...
 * for noise of variance one.
 */
export function noiseAutocovariance({ filter, pad }: Smoother, lags: number): Float64Array {
  const reach = 2 * pad + 10;
  const impulse = new Float64Array(2 * reach + 1);
  impulse[reach] = 1;
  const kernel = filterTwoPass(impulse, filter, 0);
  return Float64Array.from({ length: lags }, (_, lag) => {
    let sum = 0;
    for (let i = lag; i < kernel.length; i++) sum += kernel[i]! * kernel[i - lag]!;
    return sum;
  });
}
