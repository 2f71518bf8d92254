import type { Stream } from '../../numerics/index.ts';
import type { Recipe } from '../recipe/recipe.ts';
import { decimalsOf, MODELLED_METRICS, toDecimals } from './modelled-metrics.ts';
import type { Strike } from './strike.ts';
import type { SwingRecord } from './swing-record.ts';

const DECIMALS = MODELLED_METRICS.map(decimalsOf);

/**
 * Write down a swing: true values with the error of marker placement and of the single measurement,
 * to the decimals of the table, some missing. Columns that are defined by others are computed from what is
 * written, so that the definitions hold exactly in the table and a value is missing where one it needs is.
 *
 * @param truth NaN where the swing has no such value
 * @param placement what this visit and device add to each metric
 * @param errorFactor errors of this device as a multiple of the recipe's
 */
export function measureSwing(
  recipe: Recipe,
  truth: Float64Array,
  strike: Strike,
  placement: Float64Array,
  stream: Stream,
  row: SwingRecord,
  errorFactor = 1,
): void {
  const { valueShare } = recipe.missing;
  const { spread } = recipe.measurement;
  let lagGain: number | null = null;
  let strikeOffset: number | null = null;

  for (let m = 0; m < MODELLED_METRICS.length; m++) {
    const name = MODELLED_METRICS[m]!;
    const metric = recipe.metrics[name];
    const sd = errorFactor * metric.measurementSd * (1 + spread * (2 * stream.uniform() - 1));
    const exact = Math.max(metric.atLeast ?? -Infinity, truth[m]! + placement[m]! + stream.normal(0, sd));
    const missing = stream.bernoulli(valueShare) || Number.isNaN(exact);
    const value = missing ? null : toDecimals(exact, DECIMALS[m]!);
    if (name === 'lag_gain_deg') lagGain = value;
    else if (name === 'strike_offset_mm') strikeOffset = value;
    else row[name] = value;
    if (metric.reportSd === true) row[`${name}_sd`] = value === null ? null : toDecimals(sd, 2);
  }
  const ballSpeed =
    strike.ballSpeedMps + stream.normal(0, errorFactor * recipe.strike.ballSpeedMeasurementSd);
  row.ball_speed_mps = stream.bernoulli(valueShare) ? null : toDecimals(ballSpeed, 2);
  row.low_point_cm = stream.bernoulli(valueShare) ? null : toDecimals(strike.lowPointCm, 1);
  row.strike_rating = stream.bernoulli(valueShare) ? null : strike.rating;
  row.ground_first = stream.bernoulli(valueShare) ? null : strike.groundFirst;

  const top = row.trail_elbow_flexion_top_deg;
  row.transition_elbow_change_deg = withinReach(row.transition_elbow_change_deg, top);
  row.elbow_recoil_deg = withinReach(row.elbow_recoil_deg, top);
  row.trail_elbow_flexion_arm_parallel_deg = both(sum, top, row.transition_elbow_change_deg, 1);
  row.trail_elbow_flexion_peak_deg = both(sum, top, row.elbow_recoil_deg, 1);
  row.lag_peak_deg = both(sum, row.lag_top_deg, lagGain, 1);
  row.release_timing_pct = both(elapsedPct, row.release_onset_ms, row.downswing_ms, 1);
  row.dynamic_loft_deg = both(difference, recipe.strike.staticLoftDeg, row.shaft_lean_impact_deg, 1);
  row.smash_factor = both(ratio, row.ball_speed_mps, row.club_speed_mps, decimalsOf('smash_factor'));
  row.impact_offset_mm = strikeOffset === null ? null : Math.abs(strikeOffset);
}

/** Bends between which an elbow moves, deg: it does not pass straight, and the forearm meets the upper arm. */
const LEAST_BEND_DEG = 1;
const MOST_BEND_DEG = 160;

/**
 * A change from the bend at the top that stops where the elbow does. It touches about one swing in 50,000, so the
 * planted means stand.
 */
function withinReach(change: Cell, top: Cell): number | null {
  if (typeof change !== 'number') return null;
  if (typeof top !== 'number') return change;
  const [least, most] = [
    toDecimals(LEAST_BEND_DEG - top, 1),
    Math.max(0, toDecimals(MOST_BEND_DEG - top, 1)),
  ];
  return Math.min(most, Math.max(least, change));
}

type Cell = SwingRecord[string] | undefined;

/** A value defined by two others: missing where one of them is. */
function both(defined: (a: number, b: number) => number, a: Cell, b: Cell, decimals: number): number | null {
  return typeof a === 'number' && typeof b === 'number' ? toDecimals(defined(a, b), decimals) : null;
}

function sum(a: number, b: number): number {
  return a + b;
}
function difference(a: number, b: number): number {
  return a - b;
}
function ratio(a: number, b: number): number {
  return a / b;
}
/** Share of the downswing that has passed when so much time is left, in per cent. */
function elapsedPct(leftMs: number, downswingMs: number): number {
  return 100 * (1 - leftMs / downswingMs);
}
