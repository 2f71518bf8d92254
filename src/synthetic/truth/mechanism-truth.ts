import { MODELLED_METRICS, type ModelledMetric } from '../model/modelled-metrics.ts';
import type { PathModel } from '../model/path-model.ts';
import { logisticScale } from '../model/strike.ts';
import type { Recipe } from '../recipe/recipe.ts';
import { settingOf } from '../setting.ts';
import { type Covariances, covariances } from './covariances.ts';
import { clean } from './population-truth.ts';
import { slopeNodes } from './slope-nodes.ts';

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

/** The slope of `outcome` on `predictor` alone, by whatever ways they hang together. */
export interface AssociationTruth {
  readonly predictor: string;
  readonly outcome: string;
  /** Of true values, within a golfer. */
  readonly within: number;
  /** Of golfers' true lasting values, handicap not held. */
  readonly between: number;
  /** Of golfers' true lasting values among golfers of one handicap. */
  readonly betweenSameHandicap: number;
  /** Expected of least squares on measured values within a golfer, with the visits and swings of the recipe. */
  readonly withinMeasured: number;
  /** Expected of least squares on golfers' means of measured values. */
  readonly betweenMeasured: number;
  /** Share of the measured within-golfer variance of the predictor that is true. */
  readonly withinReliability: number;
}

/** The cumulative logit of a better rating by the rater, where it is exactly that. */
export interface RatingTruth {
  readonly logOddsPerLeanDeg: number;
  /** Log odds at lean 0 of a rating above 1, 2, 3, 4. */
  readonly logOddsAboveAtLean0: readonly number[];
}

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

function unique<T>(items: readonly T[], key: (item: T) => string): T[] {
  return [...new Map(items.map((item) => [key(item), item])).values()];
}

function associations(recipe: Recipe, chains: readonly (readonly ModelledMetric[])[]): AssociationTruth[] {
  const truth = covariances(recipe);
  const n = MODELLED_METRICS.length;
  const visits = recipe.design.kind === 'roster' ? recipe.design.visits.length : 1;
  const swings = recipe.session.fullSwings;
  // Expected sums of squares within a golfer over `visits` visits of `swings` swings.
  const pooled = ({ session, swing }: Pick<Covariances, 'session' | 'swing'>, at: number) =>
    swings * (visits - 1) * session[at]! + (visits * swings - 1) * swing[at]!;
  const error = measurementCovariances(recipe);
  const pairs = chains.flatMap((chain) =>
    chain.flatMap((predictor, i) => chain.slice(i + 1).map((outcome) => ({ predictor, outcome }))),
  );
  return unique(pairs, ({ predictor, outcome }) => `${predictor} ${outcome}`).map(
    ({ predictor, outcome }) => {
      const [x, y] = [MODELLED_METRICS.indexOf(predictor), MODELLED_METRICS.indexOf(outcome)];
      const [xx, xy] = [x * n + x, x * n + y];
      const within = { xx: pooled(truth, xx), xy: pooled(truth, xy) };
      const measured = { xx: within.xx + pooled(error, xx), xy: within.xy + pooled(error, xy) };
      const ofMeans = (at: number) =>
        truth.golfer[at]! +
        (truth.session[at]! + error.session[at]!) / visits +
        (truth.swing[at]! + error.swing[at]!) / (visits * swings);
      return {
        predictor,
        outcome,
        within: clean(within.xy / within.xx),
        between: clean(truth.golfer[xy]! / truth.golfer[xx]!),
        betweenSameHandicap: clean(truth.sameHandicap[xy]! / truth.sameHandicap[xx]!),
        withinMeasured: clean(measured.xy / measured.xx),
        betweenMeasured: clean(ofMeans(xy) / ofMeans(xx)),
        withinReliability: clean(within.xx / measured.xx),
      };
    },
  );
}

/** Covariances of errors: placement is shared by a visit and by the metrics of its group, single errors are each one's own. */
function measurementCovariances(recipe: Recipe): Pick<Covariances, 'session' | 'swing'> {
  const n = MODELLED_METRICS.length;
  const [session, swing] = [new Float64Array(n * n), new Float64Array(n * n)];
  for (const { metrics, sd } of recipe.placement)
    for (const a of metrics)
      for (const b of metrics)
        session[MODELLED_METRICS.indexOf(a) * n + MODELLED_METRICS.indexOf(b)]! += sd ** 2;
  // A single error's SD is even within +- spread: its mean square is 1 + spread^2/3 times that of the middle.
  const spread = 1 + recipe.measurement.spread ** 2 / 3;
  MODELLED_METRICS.forEach((metric, m) => {
    swing[m * n + m] = recipe.metrics[metric].measurementSd ** 2 * spread;
  });
  return { session, swing };
}

/** null where the rating depends on more than lean, or is no cumulative logit. */
function ratingTruth({ strike }: Recipe): RatingTruth | null {
  const { rating } = strike;
  const { gainPerLeanDeg, thresholds, raterBias = 0 } = rating;
  const other = rating.lossPerLeanDeg2 + rating.lossPerOffsetMm + rating.lossForGroundFirst;
  if (
    rating.raterNoise !== 'logistic' ||
    gainPerLeanDeg === undefined ||
    thresholds === undefined ||
    other !== 0
  )
    return null;
  const scale = logisticScale(rating);
  return {
    logOddsPerLeanDeg: clean(gainPerLeanDeg / scale),
    logOddsAboveAtLean0: thresholds.map((threshold) => clean((rating.best + raterBias - threshold) / scale)),
  };
}
