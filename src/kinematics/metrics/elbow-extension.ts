import { refineExtremum } from '../instants/extremum.ts';
import { indexOfLargest } from '../instants/strike.ts';
import {
  downswingFrames,
  firstBelow,
  gapIn,
  lastSpeedFrame,
  type MetricInput,
  momentOfLevel,
  rateAt,
} from './downswing.ts';
import { FLEXION, flexionOf, flexionRateOf } from './quantities.ts';
import type { Outcome } from './reader.ts';

/** Flexion lost below its value at the top before the elbow counts as straightening, deg. */
export const EXTENSION_ONSET_DROP_DEG = 5;

/** Time from the top until the trail elbow has straightened by a set amount below its bend there, ms. */
export function extensionOnset(input: MetricInput, flexionTop: Outcome): Outcome {
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
  const moment = momentOfLevel(frame, there.reading.value, level, rate, motion.rateHz);
  return { reading: { value: ((moment - topFrame) / motion.rateHz) * 1000, sd: sd * 1000 } };
}

/** The fastest straightening of the trail elbow between top and impact, deg/s. */
export function extensionSpeedPeak(input: MetricInput): Outcome {
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
