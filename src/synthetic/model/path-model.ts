import type { BySkill, Recipe } from '../recipe/recipe.ts';
import { MODELLED_METRICS, type ModelledMetric } from './modelled-metrics.ts';

export type Level = 'golfer' | 'session' | 'swing';

/**
 * The metrics as a system of linear paths: deviation = own part + sum of slope x deviation of the metrics it depends on.
 * Since it is linear, a deviation is `loadings` x own parts, whatever level the own parts come from.
 */
export interface PathModel {
  readonly metrics: readonly ModelledMetric[];
  readonly index: Readonly<Record<ModelledMetric, number>>;
  /** Metrics in an order in which each comes after those it depends on. */
  readonly order: readonly number[];
  /** Row by row: the slope of metric m on metric k, others held, stands at m * n + k. */
  readonly slopes: Float64Array;
  /** Row by row: what one unit of the own part of metric k adds to metric m stands at m * n + k. */
  readonly loadings: Float64Array;
}

const INDEX = Object.fromEntries(MODELLED_METRICS.map((metric, at) => [metric, at])) as Record<
  ModelledMetric,
  number
>;

/** The paths a metric has at a level: those of the golfers where they have their own. */
function pathsOf(metrics: Recipe['metrics'], metric: ModelledMetric, level: PathLevel) {
  const { paths, golferPaths } = metrics[metric];
  return (level === 'golfer' ? (golferPaths ?? paths) : paths) ?? {};
}

/** Deviations that last (between golfers), or pass (between visits and swings of a golfer). */
export type PathLevel = 'golfer' | 'within';

/** Order the metrics by their paths; null when they run in a circle. */
export function pathOrder(metrics: Recipe['metrics'], level: PathLevel = 'within'): number[] | null {
  const order: number[] = [];
  const placed = new Set<number>();
  while (order.length < MODELLED_METRICS.length) {
    const next = MODELLED_METRICS.findIndex(
      (metric, at) =>
        !placed.has(at) &&
        Object.keys(pathsOf(metrics, metric, level)).every((from) =>
          placed.has(INDEX[from as ModelledMetric]),
        ),
    );
    if (next < 0) return null;
    placed.add(next);
    order.push(next);
  }
  return order;
}

/** The path model of a recipe whose paths are known not to run in a circle. */
export function pathModel(metrics: Recipe['metrics'], level: PathLevel = 'within'): PathModel {
  const order = pathOrder(metrics, level);
  if (order === null) throw new Error('pathModel: the paths run in a circle; check the recipe first.');
  const n = MODELLED_METRICS.length;
  const slopes = new Float64Array(n * n);
  for (const m of order)
    for (const [from, slope] of Object.entries(pathsOf(metrics, MODELLED_METRICS[m]!, level)))
      slopes[m * n + INDEX[from as ModelledMetric]] = slope;
  return withSlopes(order, slopes);
}

/** The path model of given slopes, row by row: what one unit of metric k does to metric m stands at m * n + k. */
export function withSlopes(order: readonly number[], slopes: Float64Array): PathModel {
  const n = MODELLED_METRICS.length;
  const loadings = new Float64Array(n * n);
  for (const m of order) {
    for (let from = 0; from < n; from++) {
      const slope = slopes[m * n + from]!;
      if (slope === 0) continue;
      for (let k = 0; k < n; k++) loadings[m * n + k]! += slope * loadings[from * n + k]!;
    }
    loadings[m * n + m] = 1;
  }
  return { metrics: MODELLED_METRICS, index: INDEX, order, slopes, loadings };
}

/** The own parts that a model turns into these deviations: what is left after the paths. */
export function ownParts(model: PathModel, deviation: Float64Array): Float64Array {
  const n = model.metrics.length;
  return deviation.map((value, m) => {
    let left = value;
    for (let k = 0; k < n; k++) left -= model.slopes[m * n + k]! * deviation[k]!;
    return left;
  });
}

/** A value at a point of the skill scale: 0 less skilled, 1 skilled. */
export function atSkill(value: BySkill, skill: number): number {
  return value.lessSkilled + skill * (value.skilled - value.lessSkilled);
}

/** The total SD of a metric at one level, from the recipe. */
export function totalSd(
  metrics: Recipe['metrics'],
  metric: ModelledMetric,
  level: Level,
  skill: number,
): number {
  const recipe = metrics[metric];
  if (level === 'session') return recipe.sessionSd;
  return atSkill(level === 'golfer' ? recipe.golferSd : recipe.swingSd, skill);
}

/**
 * Variance of each metric's own part at one level: the total asked for, less what the paths bring.
 * Negative where the paths alone bring more than the total: such a recipe is refused.
 */
export function ownVariances(
  model: PathModel,
  metrics: Recipe['metrics'],
  level: Level,
  skill: number,
): Float64Array {
  const n = model.metrics.length;
  const own = new Float64Array(n);
  for (const m of model.order) {
    let throughPaths = 0;
    for (let k = 0; k < n; k++) if (k !== m) throughPaths += model.loadings[m * n + k]! ** 2 * own[k]!;
    own[m] = totalSd(metrics, model.metrics[m]!, level, skill) ** 2 - throughPaths;
  }
  return own;
}

/** Deviations of all metrics from their own parts. */
export function deviations(model: PathModel, own: Float64Array): Float64Array {
  const n = model.metrics.length;
  const out = new Float64Array(n);
  for (let m = 0; m < n; m++) {
    let sum = 0;
    for (let k = 0; k < n; k++) sum += model.loadings[m * n + k]! * own[k]!;
    out[m] = sum;
  }
  return out;
}
