import type { MetricColumn } from '../catalogue/index.ts';
import {
  attackAngle,
  flexionRate,
  lagAngle,
  lineTurn,
  shaftLean,
  threePointFlexion,
} from '../geometry/angles.ts';
import { norm, type Vector } from '../geometry/vector.ts';
import { refineExtremum } from '../instants/extremum.ts';
import type { InstantName } from '../instants/instant.ts';
import { indexOfLargest } from '../instants/strike.ts';
import type { Motion } from '../motion.ts';
import type { Series } from '../series.ts';
import { lowPoint } from './low-point.ts';
import type { AtInstant, FoundInstants, Outcome, Reader } from './reader.ts';

/** Flexion lost below its value at the top before the elbow counts as straightening, deg. */
export const EXTENSION_ONSET_DROP_DEG = 5;
/** Share of its peak that the lag angle has lost when the release begins. */
export const RELEASE_SHARE = 0.1;

export const FLEXION = ['trail_shoulder', 'trail_elbow', 'trail_wrist'] as const;
export const LAG = ['lead_elbow', 'lead_wrist', 'grip', 'club_head'] as const;
export const SHAFT = ['grip', 'club_head'] as const;

export const flexionOf = (at: AtInstant): number =>
  threePointFlexion(at.position('trail_shoulder'), at.position('trail_elbow'), at.position('trail_wrist'));
const flexionRateOf = (at: AtInstant): number =>
  flexionRate(
    [at.position('trail_shoulder'), at.position('trail_elbow'), at.position('trail_wrist')],
    [at.velocity('trail_shoulder'), at.velocity('trail_elbow'), at.velocity('trail_wrist')],
  );
export const lagOf = (at: AtInstant): number =>
  lagAngle(
    at.position('lead_elbow'),
    at.position('lead_wrist'),
    at.position('grip'),
    at.position('club_head'),
  );
export const leanOf = (at: AtInstant): number => shaftLean(at.position('grip'), at.position('club_head'));

export interface MetricInput {
  readonly motion: Motion;
  readonly series: Series;
  readonly instants: FoundInstants;
  readonly reader: Reader;
  readonly ball: Vector | null;
  readonly ballGiven: boolean;
}

/** Every metric column that a capture of body and club gives, as a reading or a reason. */
export function computeMetrics(input: MetricInput): Partial<Record<MetricColumn, Outcome>> {
  const { reader, series, motion } = input;
  const flexion = (name: InstantName): Outcome => reader.at(name, FLEXION, flexionOf);
  const lag = (name: InstantName): Outcome => reader.at(name, LAG, lagOf);
  const flexionTop = flexion('top');
  const flexionPeak = peakAfterTop(input, series.flexion, FLEXION, flexionOf, flexionTop);
  const flexionArmParallel = flexion('lead arm parallel');
  const lagTop = lag('top');
  const lagPeak = peakAfterTop(input, series.lag, LAG, lagOf, lagTop);
  const release = releaseOnset(input, lagPeak);
  const top = momentOf(input, 'top');
  const impact = momentOf(input, 'impact');
  const downswing = combine([impact, top], ([i, t]) => (i! - t!) * 1000, [1000, 1000]);
  return {
    trail_elbow_flexion_top_deg: flexionTop,
    trail_elbow_flexion_peak_deg: flexionPeak,
    trail_elbow_flexion_arm_parallel_deg: flexionArmParallel,
    trail_elbow_flexion_impact_deg: flexion('impact'),
    elbow_recoil_deg: combine([flexionPeak, flexionTop], ([peak, at]) => Math.max(0, peak! - at!), [1, 1]),
    transition_elbow_change_deg: combine([flexionArmParallel, flexionTop], ([a, t]) => a! - t!, [1, 1]),
    elbow_extension_onset_ms: extensionOnset(input, flexionTop),
    elbow_extension_speed_peak_dps: extensionSpeedPeak(input),
    lag_top_deg: lagTop,
    lag_peak_deg: lagPeak,
    lag_delivery_deg: lag('delivery'),
    lag_impact_deg: lag('impact'),
    release_onset_ms: combine([impact, release], ([i, r]) => (i! - r!) * 1000, [1000, 1000]),
    release_timing_pct: timing(release, top, impact),
    shaft_lean_impact_deg: reader.at('impact', SHAFT, leanOf),
    pelvis_turn_impact_deg: reader.at('impact', ['lead_hip', 'trail_hip'], (at) =>
      lineTurn(at.position('trail_hip'), at.position('lead_hip')),
    ),
    thorax_turn_impact_deg: reader.at('impact', ['lead_shoulder', 'trail_shoulder'], (at) =>
      lineTurn(at.position('trail_shoulder'), at.position('lead_shoulder')),
    ),
    downswing_ms: downswing,
    hand_speed_peak_mps: peakAfterTop(
      input,
      series.gripSpeed,
      ['grip'],
      (at) => norm(at.velocity('grip')),
      null,
      lastSpeedFrame,
    ),
    club_speed_mps: reader.at('impact', ['club_head'], (at) => norm(at.velocity('club_head'))),
    attack_angle_deg: reader.at('impact', ['club_head'], (at) => attackAngle(at.velocity('club_head'))),
    low_point_cm: lowPoint(motion, reader, input.instants, input.ballGiven ? input.ball : null),
  };
}

/** Moment of an instant, s from the start of the capture. */
function momentOf({ instants, motion }: MetricInput, name: InstantName): Outcome {
  const found = instants[name];
  if ('missing' in found) return { missing: `${name} was not found: ${found.missing}` };
  return { reading: { value: found.instant.frame / motion.rateHz, sd: found.instant.sd_s } };
}

/** A value from readings whose errors are taken as independent; `slopes` are its derivatives, without sign. */
function combine(
  parts: readonly Outcome[],
  value: (values: readonly number[]) => number,
  slopes: readonly number[],
): Outcome {
  const values: number[] = [];
  let variance = 0;
  for (const [i, part] of parts.entries()) {
    if ('missing' in part) return part;
    values.push(part.reading.value);
    variance += (slopes[i]! * part.reading.sd) ** 2;
  }
  return { reading: { value: value(values), sd: Math.sqrt(variance) } };
}

/** Frames of the downswing, from the top to the last frame before impact. */
function downswingFrames({ instants, motion }: MetricInput): { from: number; to: number } | string {
  const { top, impact } = instants;
  if ('missing' in top) return `top was not found: ${top.missing}`;
  if ('missing' in impact) return `impact was not found: ${impact.missing}`;
  return {
    from: Math.ceil(top.instant.frame),
    to: Math.min(motion.split!, Math.floor(impact.instant.frame)),
  };
}

/** The largest value from top to impact, between frames; at least the reading at the top itself. */
function peakAfterTop(
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

function gapIn(values: Float64Array, from: number, to: number): boolean {
  for (let i = from; i <= to; i++) if (Number.isNaN(values[i]!)) return true;
  return false;
}

/** The first moment after `from` at which `values` fall below `level`, frames. */
function firstBelow(values: Float64Array, from: number, to: number, level: number): number | null {
  for (let i = Math.ceil(from) + 1; i <= to; i++) {
    const [a, b] = [values[i - 1]!, values[i]!];
    if (a >= level && b < level) return i - 1 + (a - level) / (a - b);
  }
  return null;
}

function extensionOnset(input: MetricInput, flexionTop: Outcome): Outcome {
  if ('missing' in flexionTop) return flexionTop;
  const { instants, motion, series, reader } = input;
  const span = downswingFrames(input);
  if (typeof span === 'string' || 'missing' in instants.top) return { missing: String(span) };
  const topFrame = instants.top.instant.frame;
  const level = flexionTop.reading.value - EXTENSION_ONSET_DROP_DEG;
  const frame = firstBelow(series.flexion, topFrame, span.to, level);
  if (frame === null)
    return {
      missing: `the trail elbow does not straighten by ${EXTENSION_ONSET_DROP_DEG} deg between top and impact`,
    };
  const there = reader.atFrame(frame, FLEXION, flexionOf);
  if ('missing' in there) return there;
  const asItIs = reader.atFrame(topFrame, FLEXION, flexionOf);
  if ('missing' in asItIs) return asItIs;
  const rate = rateAt(series.flexion, frame, motion.rateHz);
  // A later top starts the clock later and, where the elbow is still bending, also raises the level to fall below.
  const clock = 1 - rateAt(series.flexion, topFrame, motion.rateHz) / rate;
  const sd = Math.hypot(there.reading.sd / rate, asItIs.reading.sd / rate, clock * instants.top.instant.sd_s);
  return { reading: { value: ((frame - topFrame) / motion.rateHz) * 1000, sd: sd * 1000 } };
}

function extensionSpeedPeak(input: MetricInput): Outcome {
  const { series, reader } = input;
  const span = downswingFrames(input);
  if (typeof span === 'string') return { missing: span };
  const speed = series.flexionRate.map((v) => -v);
  const to = lastSpeedFrame(input, span.to, 'body');
  const i = indexOfLargest(speed, span.from, to);
  if (i < 0 || gapIn(speed, span.from, to))
    return { missing: `${FLEXION.join(', ')} are not all seen from top to impact` };
  const frame = i === span.from || i === to ? i : refineExtremum(speed, i);
  return reader.atFrame(frame, FLEXION, (at) => -flexionRateOf(at));
}

/**
 * The last frame before impact in which a speed is looked for: a fifth of a period of the cut-off before it (10 ms
 * at 20 Hz). Nearer to the end of the filtered run the noise of a slope is up to six times as large.
 */
function lastSpeedFrame({ motion }: MetricInput, to: number, kind: 'body' | 'club'): number {
  return Math.min(to, motion.split! - Math.round((0.2 * motion.rateHz) / motion.cutoffHz[kind]));
}

/** When the lag angle has lost a set share of its peak, s from the start of the capture. */
function releaseOnset(input: MetricInput, lagPeak: Outcome): Outcome {
  if ('missing' in lagPeak) return lagPeak;
  const { motion, series, reader } = input;
  const span = downswingFrames(input);
  if (typeof span === 'string') return { missing: span };
  const peakFrame = indexOfLargest(series.lag, span.from, span.to);
  const level = (1 - RELEASE_SHARE) * lagPeak.reading.value;
  const frame = firstBelow(series.lag, peakFrame, span.to, level);
  if (frame === null)
    return { missing: `the lag angle does not fall by ${RELEASE_SHARE * 100} % of its peak before impact` };
  const there = reader.atFrame(frame, LAG, lagOf);
  if ('missing' in there) return there;
  const rate = rateAt(series.lag, frame, motion.rateHz);
  const sd = Math.hypot(there.reading.sd / rate, ((1 - RELEASE_SHARE) * lagPeak.reading.sd) / rate);
  return { reading: { value: frame / motion.rateHz, sd } };
}

/** Slope of a series between the two frames about a moment, per second. */
function rateAt(values: Float64Array, frame: number, rateHz: number): number {
  const i = Math.floor(frame);
  return (values[i + 1]! - values[i]!) * rateHz;
}

function timing(release: Outcome, top: Outcome, impact: Outcome): Outcome {
  if ('missing' in release) return release;
  if ('missing' in top) return top;
  if ('missing' in impact) return impact;
  const [r, t, i] = [release.reading, top.reading, impact.reading];
  const whole = i.value - t.value;
  const share = (r.value - t.value) / whole;
  const sd = Math.hypot(r.sd / whole, ((1 - share) * t.sd) / whole, (share * i.sd) / whole);
  return { reading: { value: 100 * share, sd: 100 * sd } };
}
