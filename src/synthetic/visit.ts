import type { Stream } from '../numerics/index.ts';
import type { PlannedVisit } from './design/schedule.ts';
import type { Golfer } from './model/golfer.ts';
import { measureSwing } from './model/measure-swing.ts';
import { MODELLED_METRICS, type ModelledMetric } from './model/modelled-metrics.ts';
import { ownVariances, type PathModel } from './model/path-model.ts';
import { drawStrikeChance, strikeBall } from './model/strike.ts';
import type { SwingRecord } from './model/swing-record.ts';
import { trueSwing } from './model/true-swing.ts';
import type { Recipe } from './recipe/recipe.ts';
import type { Setting } from './setting.ts';

/** All swings of a visit: the full swings, then those of the drill task. Their ids are left to be filled in. */
export function simulateVisit(
  { recipe, model, newRow }: Setting,
  golfer: Golfer,
  doseMultiplier: number,
  visit: PlannedVisit,
  stream: Stream,
): SwingRecord[] {
  const { session, learning } = recipe;
  const n = MODELLED_METRICS.length;
  const sessionOwn = ownVariances(model, recipe.metrics, 'session', golfer.skill);
  const form = stream.sub('form');
  for (let m = 0; m < n; m++) sessionOwn[m] = Math.sqrt(sessionOwn[m]!) * form.normal();
  const placement = placementErrors(recipe, model, stream.sub('placement'));
  const draws = stream.sub('swings');
  const tasks = [
    ...Array<'full'>(session.fullSwings).fill('full'),
    ...Array<'drill'>(session.drillSwings).fill('drill'),
  ];
  return tasks.map((task, order) => {
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
    const strike = strikeBall(deliveryOf(model, truth), recipe.strike, drawStrikeChance(draws));
    const row = newRow();
    row.order_in_session = order + 1;
    row.task = task;
    row.club = session.club;
    row.speed_intent_pct = speedIntentPct;
    measureSwing(recipe, truth, strike, placement, draws, row);
    return row;
  });
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

function placementErrors(recipe: Recipe, model: PathModel, stream: Stream): Float64Array {
  const errors = new Float64Array(MODELLED_METRICS.length);
  for (const group of recipe.placement) {
    const error = stream.normal(0, group.sd);
    for (const metric of group.metrics) errors[model.index[metric]]! += error;
  }
  return errors;
}
