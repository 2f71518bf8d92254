import { indexOfLargest } from '../instants/strike.ts';
import { downswingFrames, firstBelow, type MetricInput, momentOfLevel, rateAt } from './downswing.ts';
import { LAG, lagOf } from './quantities.ts';
import type { Outcome } from './reader.ts';

/** Share of its peak that the lag angle has lost when the release begins. */
export const RELEASE_SHARE = 0.1;

/** When the lag angle has lost a set share of its peak, s from the start of the capture. */
export function releaseOnset(input: MetricInput, lagPeak: Outcome): Outcome {
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
  const moment = momentOfLevel(frame, there.reading.value, level, rate, motion.rateHz);
  return { reading: { value: moment / motion.rateHz, sd } };
}

/** Share of the downswing that has passed when the release begins, %. */
export function releaseTiming(release: Outcome, top: Outcome, impact: Outcome): Outcome {
  if ('missing' in release) return release;
  if ('missing' in top) return top;
  if ('missing' in impact) return impact;
  const [r, t, i] = [release.reading, top.reading, impact.reading];
  const whole = i.value - t.value;
  const share = (r.value - t.value) / whole;
  const sd = Math.hypot(r.sd / whole, ((1 - share) * t.sd) / whole, (share * i.sd) / whole);
  return { reading: { value: 100 * share, sd: 100 * sd } };
}
