/**
 * The quantities of a swing that a recipe describes directly, by mean, spread and paths. All but two are
 * columns of the table swings; the other columns follow from these by geometry, impact or definition.
 */
export const MODELLED_METRICS = [
  'trail_elbow_flexion_top_deg',
  'elbow_recoil_deg',
  'transition_elbow_change_deg',
  'trail_elbow_flexion_impact_deg',
  'elbow_extension_onset_ms',
  'elbow_extension_speed_peak_dps',
  'lag_top_deg',
  /** No column: how much lag grows after the top. */
  'lag_gain_deg',
  'lag_delivery_deg',
  'lag_impact_deg',
  'release_onset_ms',
  'shaft_lean_impact_deg',
  'pelvis_turn_impact_deg',
  'thorax_turn_impact_deg',
  'downswing_ms',
  'hand_speed_peak_mps',
  'club_speed_mps',
  'attack_angle_deg',
  /** No column: where along the face the ball is struck, toward the toe positive. */
  'strike_offset_mm',
] as const;

export type ModelledMetric = (typeof MODELLED_METRICS)[number];

/** Columns that are exact sums of modelled metrics, apart from a constant. */
export const SUM_COLUMNS = {
  trail_elbow_flexion_arm_parallel_deg: { trail_elbow_flexion_top_deg: 1, transition_elbow_change_deg: 1 },
  dynamic_loft_deg: { shaft_lean_impact_deg: -1 },
} as const satisfies Record<string, Partial<Record<ModelledMetric, number>>>;

/** Columns that depend on the modelled metrics in a curved way, or by chance. */
export const CURVED_COLUMNS = [
  'trail_elbow_flexion_peak_deg',
  'lag_peak_deg',
  'release_timing_pct',
  'low_point_cm',
  'ball_speed_mps',
  'smash_factor',
  'impact_offset_mm',
  'strike_rating',
  'ground_first',
] as const;

export type CurvedColumn = (typeof CURVED_COLUMNS)[number];

/** Decimals a column is written with. */
export function decimalsOf(column: string): number {
  if (column === 'smash_factor') return 3;
  if (column === 'strike_rating') return 0;
  return column.endsWith('_mps') ? 2 : 1;
}

/** A number to that many decimals, never -0. */
export function toDecimals(value: number, decimals: number): number {
  const factor = 10 ** decimals;
  return Math.round(value * factor) / factor + 0;
}
