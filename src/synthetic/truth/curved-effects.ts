import { createStream, type Stream } from '../../numerics/index.ts';
import { doseMultiplier, drawEfforts, relativeDose } from '../model/dose.ts';
import { drawResponse } from '../model/golfer.ts';
import {
  CURVED_COLUMNS,
  type CurvedColumn,
  MODELLED_METRICS,
  type ModelledMetric,
} from '../model/modelled-metrics.ts';
import { atSkill, ownVariances, type PathModel } from '../model/path-model.ts';
import { handicapAt, skillOf } from '../model/skill.ts';
import { drawStrikeChance, type StrikeChance, strikeBall } from '../model/strike.ts';
import { trueSwing } from '../model/true-swing.ts';
import type { Recipe } from '../recipe/recipe.ts';
import { deliveryOf } from '../visit.ts';

export interface CurvedEffect {
  readonly column: CurvedColumn | ModelledMetric;
  /** Mean with the drill minus mean without, on a full swing. Shares for yes/no. */
  readonly effect: number;
  readonly standardError: number;
}

/** How much of the drill and of practice has taken hold. */
export interface Hold {
  readonly drill: number;
  readonly practice: number;
}

const GOLFERS = 10_000;

/**
 * The drill's effect on the columns that have no exact value, by simulating golfers twice with the same random
 * numbers: once with practice alone and once with the drill on top. The stream belongs to the recipe, not to a cohort.
 *
 * @param holds the moments at which the effect is wanted; one list of effects for each
 */
export function curvedEffects(recipe: Recipe, model: PathModel, holds: readonly Hold[]): CurvedEffect[][] {
  const floored = MODELLED_METRICS.filter(
    (metric) => recipe.metrics[metric].atLeast !== undefined && metric !== 'lag_gain_deg',
  );
  const columns = [...CURVED_COLUMNS, ...floored];
  // A drill that does nothing directly does nothing by the paths either.
  if (Object.values(recipe.learning.drill).every(({ mean, sd }) => mean === 0 && sd === 0))
    return holds.map(() => columns.map((column) => ({ column, effect: 0, standardError: 0 })));
  const sums = holds.map(() => ({
    sum: new Float64Array(columns.length),
    square: new Float64Array(columns.length),
  }));
  const stream = createStream(0, 'population');
  const singleSwingSd = rememberSds(recipe, model);
  for (let i = 0; i < GOLFERS; i++) {
    const golfer = drawChances(recipe, floored, singleSwingSd, stream);
    holds.forEach((hold, h) => {
      const control = outcome(recipe, model, golfer, floored, { ...hold, drill: 0 });
      const drill = outcome(recipe, model, golfer, floored, hold);
      columns.forEach((column, at) => {
        const difference = drill[column]! - control[column]!;
        sums[h]!.sum[at]! += difference;
        sums[h]!.square[at]! += difference ** 2;
      });
    });
  }
  return sums.map(({ sum, square }) =>
    columns.map((column, at) => {
      const effect = sum[at]! / GOLFERS;
      const variance = Math.max(0, square[at]! / GOLFERS - effect ** 2);
      return { column, effect, standardError: Math.sqrt(variance / (GOLFERS - 1)) };
    }),
  );
}

/** SDs of the own parts of one swing at a skill: the deviations of golfer, visit and swing add up to one. */
function rememberSds(recipe: Recipe, model: PathModel): (skill: number) => Float64Array {
  const known = new Map<number, Float64Array>();
  return (skill) => {
    const before = known.get(skill);
    if (before !== undefined) return before;
    const levels = (['golfer', 'session', 'swing'] as const).map((level) =>
      ownVariances(model, recipe.metrics, level, skill),
    );
    const sds = Float64Array.from(levels[0]!, (_, m) =>
      Math.sqrt(levels.reduce((sum, variances) => sum + variances[m]!, 0)),
    );
    known.set(skill, sds);
    return sds;
  };
}

/** All that chance decides about one full swing of one golfer. */
interface Chances {
  readonly means: Float64Array;
  readonly own: Float64Array;
  readonly practice: Float64Array;
  /** Dose included. */
  readonly drill: Float64Array;
  readonly errors: Float64Array;
  readonly strike: StrikeChance;
}

function drawChances(
  recipe: Recipe,
  floored: readonly ModelledMetric[],
  singleSwingSd: (skill: number) => Float64Array,
  stream: Stream,
): Chances {
  const skill = skillOf(recipe.roster, handicapAt(recipe.roster, stream.uniform()));
  const dose = relativeDose(recipe.practiceLog, drawEfforts(recipe.practiceLog, stream));
  const multiplier = doseMultiplier(recipe.learning.doseShare, dose);
  return {
    means: Float64Array.from(MODELLED_METRICS, (metric) => atSkill(recipe.metrics[metric].mean, skill)),
    own: singleSwingSd(skill).map((sd) => sd * stream.normal()),
    practice: drawResponse(recipe.learning.practice, stream),
    drill: drawResponse(recipe.learning.drill, stream).map((response) => multiplier * response),
    errors: Float64Array.from(floored, (metric) => stream.normal(0, errorSd(recipe, metric))),
    strike: drawStrikeChance(stream),
  };
}

function outcome(
  recipe: Recipe,
  model: PathModel,
  golfer: Chances,
  floored: readonly ModelledMetric[],
  hold: Hold,
): Record<string, number> {
  const parts = golfer.own.map(
    (own, m) => own + hold.practice * golfer.practice[m]! + hold.drill * golfer.drill[m]!,
  );
  const truth = trueSwing(recipe, model, golfer.means, parts, 'full', 1);
  const strike = strikeBall(deliveryOf(model, truth), recipe.strike, golfer.strike);
  const value = (metric: ModelledMetric) => truth[model.index[metric]]!;
  const columns: Record<string, number> = {
    trail_elbow_flexion_peak_deg: value('trail_elbow_flexion_top_deg') + value('elbow_recoil_deg'),
    lag_peak_deg: value('lag_top_deg') + value('lag_gain_deg'),
    release_timing_pct: 100 * (1 - value('release_onset_ms') / value('downswing_ms')),
    low_point_cm: strike.lowPointCm,
    ball_speed_mps: strike.ballSpeedMps,
    smash_factor: strike.ballSpeedMps / value('club_speed_mps'),
    impact_offset_mm: Math.abs(value('strike_offset_mm')),
    strike_rating: strike.rating,
    ground_first: strike.groundFirst ? 1 : 0,
  };
  floored.forEach((metric, at) => {
    columns[metric] = Math.max(recipe.metrics[metric].atLeast!, value(metric) + golfer.errors[at]!);
  });
  return columns;
}

function errorSd(recipe: Recipe, metric: ModelledMetric): number {
  const placement = recipe.placement.reduce(
    (sum, group) => sum + (group.metrics.includes(metric) ? group.sd ** 2 : 0),
    0,
  );
  return Math.sqrt(placement + recipe.metrics[metric].measurementSd ** 2);
}
