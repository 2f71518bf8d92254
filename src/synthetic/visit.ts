import type { Stream } from '../numerics/index.ts';
import type { DrawnSwing } from './bodies/index.ts';
import type { PlannedVisit } from './design/schedule.ts';
import { type CurveSample, type CurveVisit, curveVisit } from './model/curve.ts';
import type { Golfer } from './model/golfer.ts';
import { measureSwing } from './model/measure-swing.ts';
import { drawDay, learnt, overlay, swingOnce } from './model/mechanics.ts';
import { MODELLED_METRICS, type ModelledMetric } from './model/modelled-metrics.ts';
import type { PathModel } from './model/path-model.ts';
import { drawStrikeChance, strikeBall } from './model/strike.ts';
import type { SwingRecord } from './model/swing-record.ts';
import { trueSwing } from './model/true-swing.ts';
import type { Device, Recipe } from './recipe/recipe.ts';
import type { Setting } from './setting.ts';

/** Swings of a visit as one device saw them. */
export interface MeasuredVisit {
  /** null where the recipe has one device. */
  readonly device: Device | null;
  readonly swings: SwingRecord[];
  /** Curves of each swing, where the recipe makes curves. */
  readonly curves: readonly (readonly CurveSample[])[];
  /** What each swing was simulated from; null where it is no full swing of the mechanics, or seen by a further device. */
  readonly movements: readonly (DrawnSwing | null)[];
}

/** What a visit brings with it. */
export interface VisitState {
  /** How much of the drill's effect the golfer's practice brings. */
  readonly doseMultiplier: number;
  /** The day's form: standard normal numbers, one for each metric. */
  readonly form: Float64Array;
  /** The devices that are there: all measure the same swings. */
  readonly devices: readonly Device[];
}

/** The day's form as standard normal numbers; it takes after that of the visit before as far as `autocorrelation` says. */
export function drawForm(stream: Stream, before: Float64Array | null, autocorrelation: number): Float64Array {
  const form = stream.sub('form');
  const fresh = Float64Array.from(MODELLED_METRICS, () => form.normal());
  if (before === null || autocorrelation === 0) return fresh;
  const own = Math.sqrt(1 - autocorrelation ** 2);
  return fresh.map((value, m) => autocorrelation * before[m]! + own * value);
}

/** All swings of a visit: the full swings, then those of the drill task. Their ids are left to be filled in. */
export function simulateVisit(
  { recipe, mechanics, newRow }: Setting,
  golfer: Golfer,
  { doseMultiplier, form, devices }: VisitState,
  visit: PlannedVisit,
  stream: Stream,
): MeasuredVisit[] {
  const { session, learning } = recipe;
  const { model } = golfer;
  const n = MODELLED_METRICS.length;
  const sessionOwn = golfer.sessionOwnVariances.map((variance, m) => Math.sqrt(variance) * form[m]!);
  const measured = watchers(devices, stream);
  const placements = measured.map(({ source, factor, bias }) =>
    placementErrors(recipe, model, source.sub('placement'), factor, bias),
  );
  const curves: CurveVisit | null = curveVisit(recipe, golfer, visit.drillShare * doseMultiplier, stream);
  const { mechanical } = golfer;
  const byMechanics = stream.sub('mechanics');
  const day =
    mechanics === null || mechanical === null
      ? null
      : { from: mechanics, person: mechanical, form: drawDay(mechanics, mechanical, byMechanics.sub('day')) };
  const draws = stream.sub('swings');
  const tasks = [
    ...Array<'full'>(session.fullSwings).fill('full'),
    ...Array<'drill'>(session.drillSwings).fill('drill'),
  ];
  tasks.forEach((task, order) => {
    const speedIntentPct =
      task === 'full' ? 100 : draws.integer(session.speedIntentPct.from, session.speedIntentPct.to);
    const drill = visit.drillShare * doseMultiplier * (task === 'drill' ? 1 / learning.carryOver : 1);
    const own = new Float64Array(n);
    for (let m = 0; m < n; m++)
      own[m] =
        golfer.own[m]! +
        sessionOwn[m]! +
        golfer.swingOwnSd[m]! * draws.normal() +
        drill * golfer.drillResponse[m]! +
        visit.practiceShare * golfer.practiceResponse[m]!;
    const truth = trueSwing(recipe, model, golfer.means, own, task, speedIntentPct / 100);
    let lowPointCm: number | null = null;
    let movement: DrawnSwing | null = null;
    if (day !== null) {
      const state = learnt(day.person, day.form, { drill, practice: visit.practiceShare });
      const { values, drawn } = swingOnce(
        day.from,
        day.person,
        state,
        order,
        recipe.strike.staticLoftDeg,
        byMechanics.sub(order),
      );
      overlay(recipe, values, truth, task, speedIntentPct / 100);
      lowPointCm = values.low_point_cm;
      // A swing of the drill task is a full one scaled down, not one that the mechanics swung.
      if (task === 'full') movement = drawn;
    }
    const delivery = { ...deliveryOf(model, truth), lowPointCm };
    const strike = strikeBall(delivery, recipe.strike, drawStrikeChance(draws));
    measured.forEach(({ source, factor, swings, movements, curves: drawn }, d) => {
      const row = newRow();
      row.order_in_session = order + 1;
      row.task = task;
      row.club = session.club;
      row.speed_intent_pct = speedIntentPct;
      measureSwing(recipe, truth, strike, placements[d]!, d === 0 ? draws : source, row, factor);
      swings.push(row);
      movements.push(d === 0 ? movement : null);
      if (curves !== null) drawn.push(curves.swing(truth, placements[d]!, order));
    });
  });
  return measured.map(({ device, swings, movements, curves: drawn }) => ({
    device,
    swings,
    movements,
    curves: drawn,
  }));
}

/** Those who measure: the recipe's one device, or each of several with errors of its own. */
function watchers(devices: readonly Device[], stream: Stream) {
  const all = devices.length === 0 ? [null] : devices;
  return all.map((device, d) => ({
    device,
    source: d === 0 ? stream : stream.sub('device', d),
    factor: device?.errorFactor ?? 1,
    bias: device?.bias ?? {},
    swings: [] as SwingRecord[],
    curves: [] as CurveSample[][],
    movements: [] as (DrawnSwing | null)[],
  }));
}

/** The mean of a metric over the full swings of a visit, as measured; null when none is there. */
export function visitMean(swings: readonly SwingRecord[], metric: ModelledMetric): number | null {
  const values = swings.flatMap((swing) => {
    const value = swing[metric];
    return swing.task === 'full' && typeof value === 'number' ? [value] : [];
  });
  return values.length === 0 ? null : values.reduce((sum, value) => sum + value, 0) / values.length;
}

/** What decides the strike, out of the true values of a swing. */
export function deliveryOf(model: PathModel, truth: Float64Array) {
  return {
    shaftLeanDeg: truth[model.index.shaft_lean_impact_deg]!,
    attackAngleDeg: truth[model.index.attack_angle_deg]!,
    clubSpeedMps: truth[model.index.club_speed_mps]!,
    strikeOffsetMm: truth[model.index.strike_offset_mm]!,
  };
}

/** What a device adds to every value of a visit: its bias, and the errors of this visit's marker placement. */
function placementErrors(
  recipe: Recipe,
  model: PathModel,
  stream: Stream,
  factor: number,
  bias: Device['bias'],
): Float64Array {
  const errors = Float64Array.from(MODELLED_METRICS, (metric) => bias[metric] ?? 0);
  for (const group of recipe.placement) {
    const error = stream.normal(0, factor * group.sd);
    for (const metric of group.metrics) errors[model.index[metric]]! += error;
  }
  return errors;
}
