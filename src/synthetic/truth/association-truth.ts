import { MODELLED_METRICS, type ModelledMetric } from '../model/modelled-metrics.ts';
import type { Recipe } from '../recipe/recipe.ts';
import { type Covariances, covariances } from './covariances.ts';
import { clean } from './population-truth.ts';
import { unique } from './unique.ts';

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

export function associations(
  recipe: Recipe,
  chains: readonly (readonly ModelledMetric[])[],
): AssociationTruth[] {
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
