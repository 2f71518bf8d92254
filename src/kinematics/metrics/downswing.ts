import type { Vector } from '../geometry/vector.ts';
import { refineExtremum } from '../instants/extremum.ts';
import { indexOfLargest } from '../instants/strike.ts';
import type { Motion } from '../motion.ts';
import type { Series } from '../series.ts';
import type { SegmentDefinitions } from './definitions.ts';
import type { AtInstant, FoundInstants, Outcome, Reader } from './reader.ts';

export interface MetricInput {
  readonly motion: Motion;
  readonly series: Series;
  readonly instants: FoundInstants;
  readonly reader: Reader;
  readonly ball: Vector | null;
  readonly ballGiven: boolean;
  readonly definitions: SegmentDefinitions;
}

/** Frames of the downswing, from the top to the last frame before impact. */
export function downswingFrames({ instants, motion }: MetricInput): { from: number; to: number } | string {
  const { top, impact } = instants;
  if ('missing' in top) return `top was not found: ${top.missing}`;
  if ('missing' in impact) return `impact was not found: ${impact.missing}`;
  return {
    from: Math.ceil(top.instant.frame),
    to: Math.min(motion.split!, Math.floor(impact.instant.frame)),
  };
}

/** The largest value from top to impact, between frames; at least the reading at the top itself. */
export function peakAfterTop(
  input: MetricInput,
  values: Float64Array,
  landmarks: readonly string[],
  measure: (at: AtInstant) => number,
  atTop: Outcome | null,
  lastFrame?: (input: MetricInput, to: number, kind: 'club') => number,
): Outcome {
  const downswing = downswingFrames(input);
  if (typeof downswing === 'string') return { missing: downswing };
  const span = { ...downswing, to: lastFrame ? lastFrame(input, downswing.to, 'club') : downswing.to };
  const i = indexOfLargest(values, span.from, span.to);
  if (i < 0 || gapIn(values, span.from, span.to))
    return { missing: `${landmarks.join(', ')} are not all seen from top to impact` };
  const frame = i === span.from || i === span.to ? i : refineExtremum(values, i);
  const peak = input.reader.atFrame(frame, landmarks, measure);
  if (atTop && 'reading' in atTop && 'reading' in peak && atTop.reading.value > peak.reading.value)
    return atTop;
  return peak;
}

export function gapIn(values: Float64Array, from: number, to: number): boolean {
  for (let i = from; i <= to; i++) if (Number.isNaN(values[i]!)) return true;
  return false;
}

/** The first moment after `from` at which `values` fall below `level`, frames. */
export function firstBelow(values: Float64Array, from: number, to: number, level: number): number | null {
  for (let i = Math.ceil(from) + 1; i <= to; i++) {
    const [a, b] = [values[i - 1]!, values[i]!];
    if (a >= level && b < level) return i - 1 + (a - level) / (a - b);
  }
  return null;
}

/**
 * The last frame before impact in which a speed is looked for: a fifth of a period of the cut-off before it (10 ms
 * at 20 Hz). Nearer to the end of the filtered run the noise of a slope is up to six times as large.
 */
export function lastSpeedFrame({ motion }: MetricInput, to: number, kind: 'body' | 'club'): number {
  return Math.min(to, motion.split! - Math.round((0.2 * motion.rateHz) / motion.cutoffHz[kind]));
}

/** Slope of a series between the two frames about a moment, per second. */
export function rateAt(values: Float64Array, frame: number, rateHz: number): number {
  const i = Math.floor(frame);
  return (values[i + 1]! - values[i]!) * rateHz;
}

/** The moment, frames, at which a quantity passes a level, from its value and rate (per second) at a frame nearby. */
export function momentOfLevel(
  frame: number,
  value: number,
  level: number,
  rate: number,
  rateHz: number,
): number {
  return frame + ((level - value) / rate) * rateHz;
}
