import { doseMultiplier, relativeDoseVariance } from '../model/dose.ts';
import { MODELLED_METRICS, type ModelledMetric } from '../model/modelled-metrics.ts';
import { atSkill, type Level, ownVariances, pathModel } from '../model/path-model.ts';
import { meanOverSkill, skillDistribution } from '../model/skill.ts';
import type { MeanSd, Recipe } from '../recipe/recipe.ts';
import { settingOf } from '../setting.ts';
import { type CurvedEffect, curvedEffects } from './curved-effects.ts';
import { dot, type LinearColumn, linearColumns, weightsOf } from './linear-columns.ts';
import { slopeNodes } from './slope-nodes.ts';

export type ByColumn<Value> = Readonly<Record<string, Value>>;

/** Variances of a measured value on a full swing at baseline, in the column's unit squared. */
export interface VarianceComponents {
  /** Between golfers, skill included. */
  readonly golfer: number;
  /** Between visits of a golfer: day's form and marker placement. */
  readonly session: number;
  /** Between swings of a visit, measurement included. */
  readonly swing: number;
}

/** What a recipe plants in the population of golfers it describes, whatever the seed. */
export interface PopulationTruth {
  readonly drillEffect: ByColumn<number>;
  /** Standard error, by simulation, of those effects that have no exact value. */
  readonly drillEffectMonteCarloError: ByColumn<number>;
  readonly retentionEffect: ByColumn<number>;
  readonly retentionEffectMonteCarloError: ByColumn<number>;
  readonly practiceEffect: ByColumn<number>;
  readonly individualResponseSd: ByColumn<number>;
  readonly varianceComponents: ByColumn<VarianceComponents>;
}

let last: { readonly key: string; readonly truth: PopulationTruth } | null = null;

/**
 * What the recipe plants in its population. Exact by linear propagation for the linear columns; by simulation
 * of 10 000 golfers, with its standard error, for the others. The last population is remembered, since cohort after
 * cohort is drawn from one.
 */
export function populationTruth(recipe: Recipe): PopulationTruth {
  const { roster, metrics, placement, measurement, strike, learning, practiceLog, mechanism } = recipe;
  const { golfers: _golfers, ...people } = roster;
  const key = JSON.stringify([
    people,
    metrics,
    placement,
    measurement,
    strike,
    learning,
    practiceLog,
    mechanism,
  ]);
  if (last?.key !== key) last = { key, truth: computeTruth(recipe) };
  return last.truth;
}

function computeTruth(recipe: Recipe): PopulationTruth {
  const model = pathModel(recipe.metrics);
  const columns = linearColumns(recipe, model);
  const { learning } = recipe;
  const parts = varianceParts(recipe);
  const drill = byMetric(learning.drill, ({ mean }) => mean);
  const practice = byMetric(learning.practice, ({ mean }) => mean);
  const exact = (value: (column: LinearColumn) => number) =>
    Object.fromEntries(columns.map((column) => [column.column, clean(value(column))]));
  const [post, retention] = curvedEffects(recipe, model, [{ drill: 1, practice: 1 }, learning.retained]) as [
    CurvedEffect[],
    CurvedEffect[],
  ];
  return {
    drillEffect: { ...exact(({ weights }) => dot(weights, drill)), ...pick(post, 'effect') },
    drillEffectMonteCarloError: pick(post, 'standardError'),
    retentionEffect: {
      ...exact(({ weights }) => learning.retained.drill * dot(weights, drill)),
      ...pick(retention, 'effect'),
    },
    retentionEffectMonteCarloError: pick(retention, 'standardError'),
    practiceEffect: exact(({ weights }) => dot(weights, practice)),
    individualResponseSd: exact(({ weights }) => responseSd(recipe, weights)),
    varianceComponents: Object.fromEntries(
      columns.map((column) => {
        const { golfer, form, placement, swing, measurement } = parts(column);
        return [
          column.column,
          { golfer: clean(golfer), session: clean(form + placement), swing: clean(swing + measurement) },
        ];
      }),
    ),
  };
}

/** A number without the dust of floating-point sums, so that truth.json reads well. */
export function clean(value: number): number {
  return Number(value.toPrecision(12)) + 0;
}

function byMetric(
  effect: Readonly<Partial<Record<ModelledMetric, MeanSd>>>,
  value: (effect: MeanSd) => number,
): Float64Array {
  return Float64Array.from(MODELLED_METRICS, (metric) => {
    const direct = effect[metric];
    return direct === undefined ? 0 : value(direct);
  });
}

function pick(effects: readonly CurvedEffect[], key: 'effect' | 'standardError'): ByColumn<number> {
  return Object.fromEntries(effects.map((effect) => [effect.column, Number(effect[key].toPrecision(6))]));
}

/**
 * SD over golfers of the drill's effect on a column at post. With response sum_k w_k (mu_k + sd_k z_k) D, D the dose
 * multiplier of mean 1 and variance v independent of z, the variance is (w mu)^2 v + sum_k (w_k sd_k)^2 (1 + v).
 */
function responseSd(recipe: Recipe, weights: Float64Array): number {
  const { learning, practiceLog } = recipe;
  const v = doseMultiplier(learning.doseShare, 2) - 1;
  const doseVariance = v ** 2 * relativeDoseVariance(practiceLog);
  const mean = dot(
    weights,
    byMetric(learning.drill, (effect) => effect.mean),
  );
  const sd = byMetric(learning.drill, (effect) => effect.sd);
  let own = 0;
  for (let k = 0; k < weights.length; k++) own += (weights[k]! * sd[k]!) ** 2;
  return Math.sqrt(mean ** 2 * doseVariance + own * (1 + doseVariance));
}

/** The variances a measured value of a column is made of, on a full swing at baseline. */
export interface VarianceParts {
  readonly golfer: number;
  readonly form: number;
  readonly placement: number;
  readonly swing: number;
  readonly measurement: number;
}

/** The variances of the columns of a recipe: exact, averaged over skill and over golfers' slopes. */
export function varianceParts(recipe: Recipe): (column: LinearColumn) => VarianceParts {
  const { metrics } = recipe;
  const { model, golferModel } = settingOf(recipe);
  const skills = skillDistribution(recipe.roster);
  const nodes = slopeNodes(recipe, model);
  const spread = 1 + recipe.measurement.spread ** 2 / 3;
  return (column) => {
    const lasting = [{ share: 1, weights: weightsOf(golferModel, column.parts) }];
    const passing = nodes.map((node) => ({
      share: node.share,
      weights: weightsOf(node.model, column.parts),
    }));
    const through = (level: Level, skill: number) => {
      const own = ownVariances(level === 'golfer' ? golferModel : model, metrics, level, skill);
      return (level === 'golfer' ? lasting : passing).reduce(
        (mean, { share, weights }) =>
          mean + share * own.reduce((sum, variance, k) => sum + weights[k]! ** 2 * variance, 0),
        0,
      );
    };
    const parts = Object.entries(column.parts) as [ModelledMetric, number][];
    const usual = (skill: number) =>
      parts.reduce((sum, [metric, factor]) => sum + factor * atSkill(metrics[metric].mean, skill), 0);
    const meanUsual = meanOverSkill(skills, usual);
    const shared = (group: Recipe['placement'][number]) =>
      parts.reduce((all, [metric, factor]) => all + (group.metrics.includes(metric) ? factor : 0), 0);
    return {
      golfer: meanOverSkill(skills, (skill) => (usual(skill) - meanUsual) ** 2 + through('golfer', skill)),
      form: through('session', 0),
      placement: recipe.placement.reduce((sum, group) => sum + (shared(group) * group.sd) ** 2, 0),
      swing: meanOverSkill(skills, (skill) => through('swing', skill)),
      measurement: parts.reduce(
        (sum, [metric, factor]) => sum + (factor * metrics[metric].measurementSd) ** 2 * spread,
        0,
      ),
    };
  };
}
