/** Metric columns that answer the same question in another way, so that none is picked after the fact. */

interface Family {
  readonly about: string;
  /** By column: 1, or -1 where more of it means less of the others. */
  readonly columns: Readonly<Record<string, 1 | -1>>;
}

const FAMILIES: readonly Family[] = [
  {
    about: 'how early the trail elbow straightens',
    columns: {
      transition_elbow_change_deg: 1,
      trail_elbow_flexion_arm_parallel_deg: 1,
      elbow_extension_onset_ms: 1,
    },
  },
  {
    about: 'how bent the trail elbow is at its most',
    columns: { trail_elbow_flexion_top_deg: 1, trail_elbow_flexion_peak_deg: 1 },
  },
  { about: 'how much lag there is at its most', columns: { lag_top_deg: 1, lag_peak_deg: 1 } },
  {
    about: 'how late the club is released',
    columns: { release_onset_ms: -1, release_timing_pct: 1, lag_delivery_deg: 1 },
  },
  {
    about: 'how far the shaft leans at impact',
    columns: { shaft_lean_impact_deg: 1, dynamic_loft_deg: -1 },
  },
  { about: 'how fast the strike is', columns: { club_speed_mps: 1, ball_speed_mps: 1 } },
  {
    about: 'how well the ball is struck',
    columns: { strike_rating: 1, impact_offset_mm: -1, ground_first: -1 },
  },
];

/** An alternative to a metric, and whether more of it means more (1) or less (-1) of the metric asked for. */
export interface AlternativeMetric {
  readonly column: string;
  readonly sense: 1 | -1;
}

/**
 * The other columns that answer the question a column answers, in a fixed order; none for a column without rivals.
 *
 * @example alternativeMetrics('shaft_lean_impact_deg') // [{ column: 'dynamic_loft_deg', sense: -1 }]
 */
export function alternativeMetrics(column: string): readonly AlternativeMetric[] {
  const family = FAMILIES.find(({ columns }) => Object.hasOwn(columns, column));
  if (family === undefined) return [];
  const own = family.columns[column]!;
  return Object.entries(family.columns)
    .filter(([other]) => other !== column)
    .map(([other, sense]) => ({ column: other, sense: (own * sense) as 1 | -1 }));
}
