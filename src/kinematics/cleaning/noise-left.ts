import { smoothRun } from './smooth.ts';
import type { LowPass } from './smoother.ts';

/** What a filter leaves of white noise of variance one. */
export interface NoiseLeft {
  /** Covariance of two filtered samples `lag` frames apart, far from an end. */
  readonly inside: Float64Array;
  /** Covariance of samples i and j counted from an end (0 is the last), row after row, `reach` to a row. */
  readonly atEnd: Float64Array;
  readonly reach: number;
}

/** Frames between samples that are ever read together. */
const LAGS = 12;

/** Worked out by filtering impulses: a filtered sample is a weighted sum of noise, its variance the sum of squares. */
export function noiseLeftBy(lowPass: LowPass): NoiseLeft {
  const reach = lowPass.pad + LAGS;
  const length = 3 * reach;
  const rows = Array.from({ length }, (_, at) => {
    const impulse = new Float64Array(length);
    impulse[at] = 1;
    smoothRun(impulse, lowPass);
    return impulse;
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
    for (let j = i; j < Math.min(reach, i + LAGS); j++) {
      const value = covariance(length - 1 - i, length - 1 - j);
      atEnd[i * reach + j] = value;
      atEnd[j * reach + i] = value;
    }
  return { inside, atEnd, reach };
}
