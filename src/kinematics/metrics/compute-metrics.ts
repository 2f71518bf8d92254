import type { MetricColumn } from '../catalogue/index.ts';
import { norm } from '../geometry/vector.ts';
import type { InstantName } from '../instants/instant.ts';
import { combine } from './combine.ts';
import { lastSpeedFrame, type MetricInput, peakAfterTop } from './downswing.ts';
import { extensionOnset, extensionSpeedPeak } from './elbow-extension.ts';
import { lowPoint } from './low-point.ts';
import { attackOf, FLEXION, flexionOf, handSpeedOf, LAG, lagOf, leanOf, SHAFT } from './quantities.ts';
import type { Outcome } from './reader.ts';
import { releaseOnset, releaseTiming } from './release.ts';

/** Every metric column that a capture of body and club gives, as a reading or a reason. */
export function computeMetrics(input: MetricInput): Partial<Record<MetricColumn, Outcome>> {
  const { reader, series, motion } = input;
  const { pelvis, thorax } = input.definitions;
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
    release_timing_pct: releaseTiming(release, top, impact),
    shaft_lean_impact_deg: reader.at('impact', SHAFT, leanOf),
    pelvis_turn_impact_deg: reader.at('impact', pelvis.landmarks, pelvis.measure),
    thorax_turn_impact_deg: reader.at('impact', thorax.landmarks, thorax.measure),
    downswing_ms: downswing,
    hand_speed_peak_mps: peakAfterTop(input, series.gripSpeed, ['grip'], handSpeedOf, null, lastSpeedFrame),
    club_speed_mps: reader.at('impact', ['club_head'], (at) => norm(at.velocity('club_head'))),
    attack_angle_deg: reader.at('impact', ['club_head'], attackOf),
    low_point_cm: lowPoint(motion, reader, input.instants, input.ballGiven ? input.ball : null),
  };
}

/** Moment of an instant, s from the start of the capture. */
function momentOf({ instants, motion }: MetricInput, name: InstantName): Outcome {
  const found = instants[name];
  if ('missing' in found) return { missing: `${name} was not found: ${found.missing}` };
  return { reading: { value: found.instant.frame / motion.rateHz, sd: found.instant.sd_s } };
}
