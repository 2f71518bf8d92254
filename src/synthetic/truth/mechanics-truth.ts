import { createStream } from '../../numerics/index.ts';
import type { GolferDistributions } from '../bodies/index.ts';
import type { ModelledMetric } from '../model/modelled-metrics.ts';
import type { Recipe } from '../recipe/recipe.ts';
import {
  SIMULATED_COLUMNS,
  type SimulatedGolfer,
  SWINGS,
  simulateGolfer,
  six,
  VISITS,
} from './mechanics-population.ts';
import { average, nestedMoments, withError } from './nested-moments.ts';
import type { ByColumn, PopulationTruth } from './population-truth.ts';

/** What simulated bodies plant. Everything in it is simulated; errors are standard errors of the simulation. */
export interface MovementTruth {
  readonly model: 'mechanics';
  readonly method: string;
  readonly golfers: number;
  /** Share of draws that made no swing and were drawn again. */
  readonly redrawnShare: number;
  readonly varianceComponentsMonteCarloError: ByColumn<{ golfer: number; session: number; swing: number }>;
  readonly practiceEffectMonteCarloError: ByColumn<number>;
  /** Slopes of true values of `outcome` on `predictor` alone, as the mechanics and the spread of the golfers bring them about. */
  readonly associations: readonly {
    readonly predictor: string;
    readonly outcome: string;
    readonly within: number;
    readonly withinMonteCarloError: number;
    readonly between: number;
    readonly betweenMonteCarloError: number;
  }[];
}

export interface MechanicsTruth {
  readonly population: PopulationTruth;
  readonly movement: MovementTruth;
}

const GOLFERS = 300;

const METHOD =
  `${GOLFERS} golfers are drawn from the recipe with a stream of its own (not that of the cohort) and swing ${VISITS} visits of ${SWINGS} ` +
  'swings at baseline; those of the first visit again, with the same random numbers, at post and at retention, once with practice alone ' +
  'and once with the drill on top. An effect is the mean difference, its error the SD over golfers by the square root of their number; ' +
  'components and slopes are from mean squares and products, their errors by the jackknife over twenty groups of golfers. ' +
  'True values; variance components have the recipe’s errors of placement and measurement added.';

let last: { readonly key: string; readonly truth: MechanicsTruth } | null = null;

/** What a recipe with mechanics plants in its population; the last one is remembered, since cohort after cohort is drawn from one. */
export function mechanicsTruth(recipe: Recipe, from: GolferDistributions): MechanicsTruth {
  const { roster, session, movement, metrics, placement, measurement, strike, learning, practiceLog } =
    recipe;
  const { golfers: _golfers, ...people } = roster;
  const parts = [
    people,
    session.fullSwings,
    movement,
    metrics,
    placement,
    measurement,
    strike,
    learning,
    practiceLog,
  ];
  const key = JSON.stringify(parts);
  if (last?.key !== key) last = { key, truth: simulate(recipe, from) };
  return last.truth;
}

function simulate(recipe: Recipe, from: GolferDistributions): MechanicsTruth {
  const stream = createStream(0, 'population', 'mechanics');
  const golfers = Array.from({ length: GOLFERS }, (_, at) => simulateGolfer(recipe, from, stream.sub(at)));
  const effects = (key: 'practice' | 'post' | 'retention') => {
    const all = SIMULATED_COLUMNS.map((column, c) => {
      const values = golfers.map((golfer) => golfer[key][c]!);
      const mean = average(values);
      const variance = values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1);
      return { column, mean, sd: Math.sqrt(variance) };
    });
    const by = (value: (one: (typeof all)[number]) => number) =>
      Object.fromEntries(all.map((one) => [one.column, six(value(one))]));
    return {
      mean: by(({ mean }) => mean),
      error: by(({ sd }) => sd / Math.sqrt(GOLFERS)),
      sd: by(({ sd }) => sd),
    };
  };
  const [practice, post, retention] = [effects('practice'), effects('post'), effects('retention')];
  const components = componentsOf(recipe, golfers);
  const swings = GOLFERS * VISITS * SWINGS;
  const tries = golfers.reduce((sum, golfer) => sum + golfer.tries, 0);
  return {
    population: {
      drillEffect: post.mean,
      drillEffectMonteCarloError: post.error,
      retentionEffect: retention.mean,
      retentionEffectMonteCarloError: retention.error,
      practiceEffect: practice.mean,
      individualResponseSd: post.sd,
      varianceComponents: components.value,
    },
    movement: {
      model: 'mechanics',
      method: METHOD,
      golfers: GOLFERS,
      redrawnShare: six((tries - swings) / tries),
      varianceComponentsMonteCarloError: components.error,
      practiceEffectMonteCarloError: practice.error,
      associations: associationsOf(golfers),
    },
  };
}

function componentsOf(recipe: Recipe, golfers: readonly SimulatedGolfer[]) {
  const all = SIMULATED_COLUMNS.flatMap((column, c) => {
    const errors = errorVariances(recipe, column);
    if (errors === null) return [];
    const of = (key: 'golfer' | 'session' | 'swing') =>
      withError(
        golfers,
        (some) =>
          nestedMoments(
            some.map(({ baseline }) => baseline),
            c,
            c,
          )[key],
      );
    const [golfer, session, swing] = [of('golfer'), of('session'), of('swing')];
    return [{ column, errors, golfer, session, swing }];
  });
  return {
    value: Object.fromEntries(
      all.map(({ column, errors, golfer, session, swing }) => [
        column,
        {
          golfer: six(golfer.value),
          session: six(session.value + errors.placement),
          swing: six(swing.value + errors.measurement),
        },
      ]),
    ),
    error: Object.fromEntries(
      all.map(({ column, golfer, session, swing }) => [
        column,
        { golfer: six(golfer.error), session: six(session.error), swing: six(swing.error) },
      ]),
    ),
  };
}

/** Variances that measuring adds to a column that is measured directly; null for the others. */
function errorVariances(recipe: Recipe, column: string) {
  const metric = recipe.metrics[column as ModelledMetric] as Recipe['metrics'][ModelledMetric] | undefined;
  if (metric === undefined || metric.atLeast !== undefined) return null;
  return {
    placement: recipe.placement.reduce(
      (sum, group) => sum + (group.metrics.includes(column as ModelledMetric) ? group.sd ** 2 : 0),
      0,
    ),
    measurement: metric.measurementSd ** 2 * (1 + recipe.measurement.spread ** 2 / 3),
  };
}

const CHAIN = [
  'transition_elbow_change_deg',
  'release_onset_ms',
  'lag_delivery_deg',
  'shaft_lean_impact_deg',
  'club_speed_mps',
] as const;

function associationsOf(golfers: readonly SimulatedGolfer[]) {
  return CHAIN.flatMap((predictor, at) =>
    CHAIN.slice(at + 1).map((outcome) => {
      const [x, y] = [SIMULATED_COLUMNS.indexOf(predictor), SIMULATED_COLUMNS.indexOf(outcome)];
      const slope = (level: 'within' | 'between') =>
        withError(golfers, (some) => {
          const values = some.map(({ baseline }) => baseline);
          const [xx, xy] = [nestedMoments(values, x, x), nestedMoments(values, x, y)];
          return level === 'between'
            ? xy.golfer / xx.golfer
            : (xy.session + xy.swing) / (xx.session + xx.swing);
        });
      const [within, between] = [slope('within'), slope('between')];
      return {
        predictor,
        outcome,
        within: six(within.value),
        withinMonteCarloError: six(within.error),
        between: six(between.value),
        betweenMonteCarloError: six(between.error),
      };
    }),
  );
}
