import type { Stream } from '../../numerics/index.ts';
import type { Recipe } from '../recipe/recipe.ts';
import { decimalsOf, MODELLED_METRICS, type ModelledMetric, toDecimals } from './modelled-metrics.ts';
import type { Strike } from './strike.ts';

/** The metric columns of one swing: null where missing. */
export type SwingMetrics = Record<string, number | boolean | null>;

const NO_COLUMN: readonly ModelledMetric[] = ['lag_gain_deg', 'strike_offset_mm'];

/**
 * What is written down of a swing: true values with the error of marker placement and of the single measurement,
 * to the decimals of the table, some missing. Columns that are defined by others are computed from what is
 * written, so that the definitions hold exactly in the table and a value is missing where one it needs is.
 */
export function measuredSwing(
  recipe: Recipe,
  truth: Float64Array,
  strike: Strike,
  placement: Float64Array,
  stream: Stream,
): SwingMetrics {
  const row: SwingMetrics = {};
  const unlessMissing = <T>(value: T): T | null =>
    stream.bernoulli(recipe.missing.valueShare) ? null : value;

  MODELLED_METRICS.forEach((name, m) => {
    const metric = recipe.metrics[name];
    const sd = metric.measurementSd * (1 + recipe.measurement.spread * (2 * stream.uniform() - 1));
    const value = Math.max(metric.atLeast ?? -Infinity, truth[m]! + placement[m]! + stream.normal(0, sd));
    row[name] = unlessMissing(toDecimals(value, decimalsOf(name)));
    if (metric.reportSd === true) row[`${name}_sd`] = row[name] === null ? null : toDecimals(sd, 2);
  });
  const ballSpeed = strike.ballSpeedMps + stream.normal(0, recipe.strike.ballSpeedMeasurementSd);
  row.ball_speed_mps = unlessMissing(toDecimals(ballSpeed, 2));
  row.low_point_cm = unlessMissing(toDecimals(strike.lowPointCm, 1));
  row.strike_rating = unlessMissing(strike.rating);
  row.ground_first = unlessMissing(strike.groundFirst);

  addDefinedColumns(row, recipe.strike.staticLoftDeg);
  for (const name of NO_COLUMN) delete row[name];
  return row;
}

function addDefinedColumns(row: SwingMetrics, staticLoftDeg: number): void {
  const define = (column: string, from: readonly string[], value: (...inputs: number[]) => number) => {
    const inputs = from.map((name) => row[name]);
    row[column] = inputs.every((input) => typeof input === 'number')
      ? toDecimals(value(...inputs), decimalsOf(column))
      : null;
  };
  const add = (a: number, b: number) => a + b;
  const top = 'trail_elbow_flexion_top_deg';
  define('trail_elbow_flexion_arm_parallel_deg', [top, 'transition_elbow_change_deg'], add);
  define('trail_elbow_flexion_peak_deg', [top, 'elbow_recoil_deg'], add);
  define('lag_peak_deg', ['lag_top_deg', 'lag_gain_deg'], add);
  define('release_timing_pct', ['release_onset_ms', 'downswing_ms'], (onset, all) => 100 * (1 - onset / all));
  define('dynamic_loft_deg', ['shaft_lean_impact_deg'], (lean) => staticLoftDeg - lean);
  define('smash_factor', ['ball_speed_mps', 'club_speed_mps'], (ball, club) => ball / club);
  define('impact_offset_mm', ['strike_offset_mm'], Math.abs);
}
