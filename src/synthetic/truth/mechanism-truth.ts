import type { ModelledMetric } from '../model/modelled-metrics.ts';
import type { PathModel } from '../model/path-model.ts';
import type { Recipe } from '../recipe/recipe.ts';
import { settingOf } from '../setting.ts';
import { type AssociationTruth, associations } from './association-truth.ts';
import { clean } from './population-truth.ts';
import { type RatingTruth, ratingTruth } from './rating-truth.ts';
import { slopeNodes } from './slope-nodes.ts';
import { unique } from './unique.ts';

/** What one unit of `from` does to `to`, everything else that acts on `to` held. */
export interface PathTruth {
  readonly from: string;
  readonly to: string;
  /** Mean over golfers of the slope within a golfer (visit to visit and swing to swing). */
  readonly within: number;
  /** SD over golfers of that slope. */
  readonly withinSd: number;
  /** Slope between golfers of one handicap. */
  readonly between: number;
}

/** What passes along a chain, by all its links and no other way. */
export interface IndirectTruth {
  readonly through: readonly string[];
  /** Mean over golfers of the product of the slopes: `product` + `covariance`. */
  readonly within: number;
  /** Product of the mean slopes. */
  readonly product: number;
  /** What slopes that go together over golfers add. */
  readonly covariance: number;
  /** Product of the slopes between golfers. */
  readonly between: number;
}

/** The true paths from elbow to strike, and what is seen of them in the data. */
export interface MechanismTruth {
  readonly values: string;
  readonly paths: readonly PathTruth[];
  readonly indirect: readonly IndirectTruth[];
  readonly associations: readonly AssociationTruth[];
  readonly strikeRating?: RatingTruth;
}

const VALUES =
  'Slopes of true values, before measurement and rounding, on full swings; unit of the outcome per unit of the predictor. ' +
  '`within`: a golfer against themselves; `between`: golfers against each other. Exact in the population of the recipe.';

/** What a recipe plants about how its chains of metrics hang together; null where it names none. */
export function mechanismTruth(recipe: Recipe): MechanismTruth | null {
  const { mechanism } = recipe;
  if (mechanism === undefined) return null;
  const { model, golferModel } = settingOf(recipe);
  const nodes = slopeNodes(recipe, model);
  const mean = (value: (node: PathModel) => number) =>
    nodes.reduce((sum, node) => sum + node.share * value(node.model), 0);
  const rating = ratingTruth(recipe);
  const chains = unique(mechanism.chains.flatMap(beginnings), (chain) => chain.join());
  return {
    values: VALUES,
    paths: pathsAmong(recipe, [...new Set(mechanism.chains.flat())]).map(({ from, to }) => ({
      from,
      to,
      within: clean(slope(model, from, to)),
      withinSd: recipe.metrics[to].pathSds?.[from] ?? 0,
      between: clean(slope(golferModel, from, to)),
    })),
    indirect: chains.flatMap((chain) => {
      const along = (of: PathModel) => product(links(chain).map(({ from, to }) => slope(of, from, to)));
      const [within, central, between] = [mean(along), along(model), along(golferModel)];
      const truth = (through: readonly string[], factor: number) => ({
        through,
        within: clean(factor * within),
        product: clean(factor * central),
        covariance: Math.abs(within - central) < 1e-12 ? 0 : clean(factor * (within - central)),
        between: clean(factor * between),
      });
      const toRating =
        rating !== null && chain.at(-1) === 'shaft_lean_impact_deg'
          ? [truth([...chain, 'strike_rating'], rating.logOddsPerLeanDeg)]
          : [];
      return [truth(chain, 1), ...toRating];
    }),
    associations: associations(recipe, mechanism.chains),
    ...(rating === null ? {} : { strikeRating: rating }),
  };
}

/** The chain itself and its beginnings, from three metrics on. */
function beginnings(chain: readonly ModelledMetric[]): ModelledMetric[][] {
  return chain.slice(2).map((_, at) => chain.slice(0, at + 3));
}

function links(chain: readonly ModelledMetric[]) {
  return chain.slice(1).map((to, at) => ({ from: chain[at]!, to }));
}

function pathsAmong(recipe: Recipe, metrics: readonly ModelledMetric[]) {
  return metrics.flatMap((to) =>
    metrics
      .filter((from) => {
        const { paths, golferPaths } = recipe.metrics[to];
        return paths?.[from] !== undefined || golferPaths?.[from] !== undefined;
      })
      .map((from) => ({ from, to })),
  );
}

function slope(model: PathModel, from: ModelledMetric, to: ModelledMetric): number {
  return model.slopes[model.index[to] * model.metrics.length + model.index[from]]!;
}

function product(values: readonly number[]): number {
  return values.reduce((all, value) => all * value, 1);
}
