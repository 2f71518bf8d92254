import { type DownswingFault, summarisedDownswing } from '../mechanics/index.ts';
import type { DrawnSwing } from './draw-swing.ts';

/** The columns of the table of swings for which the mechanics in a plane have a basis; turns of pelvis and thorax they have not. */
export const MECHANICAL_COLUMNS = [
  'trail_elbow_flexion_top_deg',
  'trail_elbow_flexion_peak_deg',
  'trail_elbow_flexion_arm_parallel_deg',
  'trail_elbow_flexion_impact_deg',
  'elbow_recoil_deg',
  'transition_elbow_change_deg',
  'elbow_extension_onset_ms',
  'elbow_extension_speed_peak_dps',
  'lag_top_deg',
  'lag_peak_deg',
  'lag_delivery_deg',
  'lag_impact_deg',
  'release_onset_ms',
  'release_timing_pct',
  'shaft_lean_impact_deg',
  'downswing_ms',
  'hand_speed_peak_mps',
  'club_speed_mps',
  'attack_angle_deg',
  'low_point_cm',
  'dynamic_loft_deg',
] as const;

/** A metric column that the mechanics of a simulated swing gives. */
export type MechanicalColumn = (typeof MECHANICAL_COLUMNS)[number];

/** The true values of a simulated swing, by column, in its unit and sign; null where the swing has no such moment before impact. */
export type MechanicalValues = Readonly<Record<MechanicalColumn, number | null>>;

/** The numbers of one simulated swing. */
export interface MechanicalSwing {
  readonly values: MechanicalValues;
  /** Of the head below the hub at impact, along the plane, m: against the golfer's reach it says how far the club is off the ground. */
  readonly headDepth_m: number;
  /** Speeds that have no column, deg/s: fastest lessening of the lag, and of the shaft, before impact. */
  readonly wristSpeedPeak_dps: number;
  readonly shaftSpeedPeak_dps: number;
  /** When the elbow is straight after impact, ms; null where it is not before the run ends. */
  readonly straightAfter_ms: number | null;
}

/**
 * Swings a drawn swing and reads its metrics by the definitions of the metric catalogue.
 *
 * @param staticLoft_deg of the club, for the dynamic loft of a square face
 * @example
 * const swing = mechanicalSwing({ body: SKILLED_BODY, timings: SKILLED_TIMINGS }, 27);
 * 'values' in swing && swing.values.shaft_lean_impact_deg! > 0 // true: the hands lead
 */
export function mechanicalSwing(
  { body, timings }: DrawnSwing,
  staticLoft_deg: number,
): MechanicalSwing | { readonly fault: DownswingFault } {
  const swing = summarisedDownswing(body, timings);
  if (swing.run === null) return { fault: swing.fault };
  const { run } = swing;
  const { impact, top_s } = run;
  const change = run.transitionElbowChange_deg;
  return {
    values: {
      trail_elbow_flexion_top_deg: run.elbowAtTop_deg,
      trail_elbow_flexion_peak_deg: run.elbowAtTop_deg + run.elbowRecoil_deg,
      trail_elbow_flexion_arm_parallel_deg: change === null ? null : run.elbowAtTop_deg + change,
      trail_elbow_flexion_impact_deg: impact.trailElbow_deg,
      elbow_recoil_deg: run.elbowRecoil_deg,
      transition_elbow_change_deg: change,
      elbow_extension_onset_ms: after(run.elbowExtensionOnset_s, top_s),
      elbow_extension_speed_peak_dps: run.elbowExtensionPeak_deg_s,
      lag_top_deg: run.lagAtTop_deg,
      lag_peak_deg: run.lagPeak_deg,
      lag_delivery_deg: run.lagAtDelivery_deg,
      // The catalogue's angle between forearm and shaft has no side: past in line it grows again.
      lag_impact_deg: Math.abs(impact.lag_deg),
      release_onset_ms: run.release_s === null ? null : 1000 * (impact.time_s - run.release_s),
      release_timing_pct: run.release_s === null ? null : (100 * (run.release_s - top_s)) / run.downswing_s,
      shaft_lean_impact_deg: impact.lean_deg,
      downswing_ms: 1000 * run.downswing_s,
      hand_speed_peak_mps: run.handSpeedPeak_m_s,
      club_speed_mps: impact.headSpeed_m_s,
      attack_angle_deg: impact.attackAngle_deg,
      low_point_cm: run.lowPoint_cm,
      dynamic_loft_deg: staticLoft_deg - impact.lean_deg,
    },
    headDepth_m: impact.headDepth_m,
    wristSpeedPeak_dps: run.wristSpeedPeak_deg_s,
    shaftSpeedPeak_dps: run.clubSpeedPeak_deg_s,
    straightAfter_ms: after(run.fullExtension_s, impact.time_s),
  };
}

function after(time_s: number | null, start_s: number): number | null {
  return time_s === null ? null : 1000 * (time_s - start_s);
}
