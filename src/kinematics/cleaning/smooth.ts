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
  /** Null where the capture is too coarse to filter: fewer than five samples to a period of the cut-off. */
  readonly filter: SecondOrderFilter | null;
  /** Frames of padding: one and a half periods of the cut-off, after which the filter has forgotten. */
  readonly pad: number;
  /** Frames from which the trend at an end is taken: 0.8 of a period of the cut-off. */
  readonly trend: number;
  /** Weights of the trend's samples in the cubic read at -trend + 1, ..., pad frames from the end; row after row. */
  readonly trendWeights: Float64Array;
  /** What the filter leaves of white noise. */
  readonly noiseLeft: NoiseLeft;
}

const made = new Map<string, Smoother>();
const MOST_KEPT = 32;
/** With fewer, a cubic runs off between one sample and the next and a filter has little noise to take away. */
export const FEWEST_SAMPLES_A_PERIOD = 5;

/** A smoother for a cut-off and rate; those made before are kept, since every capture of a folder asks for the same. */
export function createSmoother(cutoffHz: number, rateHz: number): Smoother {
  const key = `${cutoffHz} at ${rateHz}`;
  const before = made.get(key);
  if (before) return before;
  const pad = Math.ceil((1.5 * rateHz) / cutoffHz);
  const trend = Math.max(5, Math.ceil((0.8 * rateHz) / cutoffHz));
  const coarse = rateHz < FEWEST_SAMPLES_A_PERIOD * cutoffHz;
  const bare = {
    cutoffHz,
    filter: coarse ? null : butterworthLowPass(twoPassDesignCutoff(cutoffHz, rateHz), rateHz),
    pad,
    trend,
    trendWeights: trendWeights(trend, pad),
  };
  const smoother = { ...bare, noiseLeft: noiseLeft(bare) };
  if (made.size >= MOST_KEPT) made.clear();
  made.set(key, smoother);
  return smoother;
}

type BareSmoother = Omit<Smoother, 'noiseLeft'>;

function trendWeights(trend: number, pad: number): Float64Array {
  const times = Array.from({ length: trend }, (_, i) => i - trend + 1);
  const weights = new Float64Array((trend + pad) * trend);
  for (let row = 0; row < trend + pad; row++)
    weights.set(localPolynomialWeights(times, 3, row - trend + 1).value, row * trend);
  return weights;
}

/**
 * Filters each run of seen samples of a track, zero lag. A run that spans `split` (the last frame before
 * impact) is filtered as two, so that contact does not smear; null filters through.
 *
 * Each run is continued beyond its ends by reflection about its own trend: a cubic fitted to the last 0.8 of a
 * period is carried on and the residuals are mirrored onto it. Two passes of a second-order Butterworth leave
 * a cubic as it is, so that unlike plain odd reflection, which turns an acceleration round, this keeps speed
 * and curvature at the end, where the readings at impact are. A capture with fewer than five samples to a
 * period of the cut-off is left as it is.
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

function smoothRun(values: Float64Array, smoother: BareSmoother): Float64Array {
  const { filter, pad } = smoother;
  const n = values.length;
  if (n < 6 || !filter) return values;
  const reach = Math.min(pad, n - 1);
  const extended = new Float64Array(n + 2 * reach);
  extended.set(values, reach);
  const before = continuation(values.slice().reverse(), reach, smoother);
  for (let k = 1; k <= reach; k++) extended[reach - k] = before[k - 1]!;
  extended.set(continuation(values, reach, smoother), reach + n);
  return filterTwoPass(extended, filter, 0).slice(reach, reach + n);
}

/** The `reach` samples after the end of `values`. */
function continuation(values: Float64Array, reach: number, smoother: BareSmoother): Float64Array {
  const { trend, trendWeights } = smoother;
  const n = values.length;
  if (trend > n)
    return Float64Array.from({ length: reach }, (_, i) => 2 * values[n - 1]! - values[n - 2 - i]!);
  const fitted = (at: number): number => {
    const row = (at + trend - 1) * trend;
    let sum = 0;
    for (let i = 0; i < trend; i++) sum += trendWeights[row + i]! * values[n - trend + i]!;
    return sum;
  };
  const out = new Float64Array(reach);
  for (let i = 0; i < reach; i++) {
    const residual = i < trend ? values[n - 1 - i]! - fitted(-i) : 0;
    out[i] = fitted(i + 1) + residual;
  }
  return out;
}

/** What a filter leaves of white noise of variance one. */
export interface NoiseLeft {
  /** Covariance of two filtered samples `lag` frames apart, far from an end. */
  readonly inside: Float64Array;
  /** Covariance of samples i and j counted from an end (0 is the last), row after row, `reach` to a row. */
  readonly atEnd: Float64Array;
  readonly reach: number;
}

/** Worked out by filtering impulses: a filtered sample is a weighted sum of noise, its variance the sum of squares. */
function noiseLeft(smoother: BareSmoother): NoiseLeft {
  const reach = smoother.pad + LAGS;
  const length = 3 * reach;
  const rows = Array.from({ length }, (_, at) => {
    const impulse = new Float64Array(length);
    impulse[at] = 1;
    return smoothRun(impulse, smoother);
  });
  const covariance = (i: number, j: number): number => {
    let sum = 0;
    for (const row of rows) sum += row[i]! * row[j]!;
    return sum;
  };
  const middle = length >> 1;
  const inside = Float64Array.from({ length: LAGS }, (_, lag) => covariance(middle, middle + lag));
  const atEnd = new Float64Array(reach * reach);
  for (let i = 0; i < reach; i++)
    for (let j = 0; j < Math.min(reach, i + LAGS); j++)
      atEnd[i * reach + j] = covariance(length - 1 - i, length - 1 - j);
  return { inside, atEnd, reach };
}

/** Frames between samples that are ever read together. */
const LAGS = 8;
