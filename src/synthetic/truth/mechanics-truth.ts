import { createStream, type Stream } from '../../numerics/index.ts';
import type { Deviation, GolferDistributions } from '../bodies/index.ts';
import { doseMultiplier, drawEfforts, relativeDose } from '../model/dose.ts';
import {
  asARule,
  drawDay,
  drawPerson,
  learnt,
  type MechanicalPerson,
  swingOnce,
} from '../model/mechanics.ts';
import type { ModelledMetric } from '../model/modelled-metrics.ts';
import { handicapAt, skillOf } from '../model/skill.ts';
import { drawStrikeChance, type StrikeChance, strikeBall } from '../model/strike.ts';
import type { Recipe } from '../recipe/recipe.ts';
import type { Hold } from './curved-effects.ts';
import { average, type NestedValues, nestedMoments, withError } from './nested-moments.ts';
import { type ByColumn, clean, type PopulationTruth } from './population-truth.ts';

/** Columns whose truth is simulated: what the mechanics bring, and the strike that follows. */
const COLUMNS = [
  'trail_elbow_flexion_top_deg',
  'trail_elbow_flexion_peak_deg',
  'trail_elbow_flexion_arm_parallel_deg',
  'trail_elbow_flexion_impact_deg',
  'elbow_recoil_deg',
  'transition_elbow_change_deg',
  'elbow_extension_speed_peak_dps',
  'lag_top_deg',
  'lag_peak_deg',
  'lag_delivery_deg',
  'lag_impact_deg',
  'release_onset_ms',
  'release_timing_pct',
  'shaft_lean_impact_deg',
  'downswing_ms',
  'hand_speed_peak_mps',
  'club_speed_mps',
  'attack_angle_deg',
  'dynamic_loft_deg',
  'low_point_cm',
  'ball_speed_mps',
  'smash_factor',
  'strike_rating',
  'ground_first',
] as const;

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
const VISITS = 2;
const SWINGS = 2;

const METHOD =
  `${GOLFERS} golfers are drawn from the recipe with a stream of its own (not that of the cohort) and swing ${VISITS} visits of ${SWINGS} ` +
  'swings at baseline; those of the first visit again, with the same random numbers, at post and at retention, once with practice alone ' +
  'and once with the drill on top. An effect is the mean difference, its error the SD over golfers by the square root of their number; ' +
  'components and slopes are from mean squares and products, their errors by the jackknife over twenty groups of golfers. ' +
  'True values; variance components have the recipe’s errors of placement and measurement added.';

let last: { readonly key: string; readonly truth: MechanicsTruth } | null = null;

/** What a recipe with mechanics plants in its population; the last one is remembered, since cohort after cohort is drawn from one. */
export function mechanicsTruth(recipe: Recipe, from: GolferDistributions): MechanicsTruth {
  const { roster, movement, metrics, placement, measurement, strike, learning, practiceLog } = recipe;
  const { golfers: _golfers, ...people } = roster;
  const parts = [people, movement, metrics, placement, measurement, strike, learning, practiceLog];
  const key = JSON.stringify(parts);
  if (last?.key !== key) last = { key, truth: simulate(recipe, from) };
  return last.truth;
}

interface SimulatedGolfer {
  readonly baseline: NestedValues;
  /** Differences of means of the first visit's swings. */
  readonly practice: readonly number[];
  readonly post: readonly number[];
  readonly retention: readonly number[];
  readonly tries: number;
}

function simulate(recipe: Recipe, from: GolferDistributions): MechanicsTruth {
  const stream = createStream(0, 'population', 'mechanics');
  const golfers = Array.from({ length: GOLFERS }, (_, at) => simulateGolfer(recipe, from, stream.sub(at)));
  const effects = (key: 'practice' | 'post' | 'retention') => {
    const all = COLUMNS.map((column, c) => {
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

function simulateGolfer(recipe: Recipe, from: GolferDistributions, stream: Stream): SimulatedGolfer {
  const chance = stream.sub('chance');
  const skill = skillOf(recipe.roster, handicapAt(recipe.roster, chance.uniform()));
  const dose = relativeDose(recipe.practiceLog, drawEfforts(recipe.practiceLog, chance));
  const multiplier = doseMultiplier(recipe.learning.doseShare, dose);
  const person = drawPerson(recipe, from, skill, stream.sub('person'));
  const { retained } = recipe.learning;
  const holds: Hold[] = [
    { drill: 0, practice: 1 },
    { drill: multiplier, practice: 1 },
    { drill: 0, practice: retained.practice },
    { drill: multiplier * retained.drill, practice: retained.practice },
  ];
  let tries = 0;
  const visits = Array.from({ length: VISITS }, (_, visit) => {
    const source = stream.sub('visit', visit);
    const day = drawDay(from, person, source.sub('day'));
    return Array.from({ length: SWINGS }, (_unused, order) => {
      const own = source.sub('swing', order);
      // Swings from all over a visit, so that cold and tired ones have their share.
      const place = own.integer(0, recipe.session.fullSwings - 1);
      const strike = drawStrikeChance(own.sub('strike'));
      // Where nothing is learnt, or the same, the swing is the same.
      const swung = new Map<string, ReturnType<typeof swingValues>>();
      const swing = (state: Deviation) => {
        const key = JSON.stringify(state);
        const known =
          swung.get(key) ?? swingValues(recipe, from, person, state, place, strike, own.sub('try'));
        swung.set(key, known);
        return known;
      };
      const before = swing(learnt(person, day, { drill: 0, practice: 0 }));
      tries += before.tries;
      const after = visit === 0 ? holds.map((hold) => swing(learnt(person, day, hold)).values) : [];
      return { before: before.values, after };
    });
  });
  const first = visits[0]!;
  const mean = (of: (swing: (typeof first)[number]) => readonly number[]) =>
    COLUMNS.map((_, c) => average(first.map((swing) => of(swing)[c]!)));
  const less = (a: readonly number[], b: readonly number[]) => a.map((value, c) => value - b[c]!);
  const [control, drilled, controlLater, drilledLater] = holds.map((_, h) => mean(({ after }) => after[h]!));
  return {
    baseline: visits.map((visit) => visit.map(({ before }) => before)),
    practice: less(
      control!,
      mean(({ before }) => before),
    ),
    post: less(drilled!, control!),
    retention: less(drilledLater!, controlLater!),
    tries,
  };
}

/** True values of one full swing, in the order of the columns. */
function swingValues(
  recipe: Recipe,
  from: GolferDistributions,
  person: MechanicalPerson,
  state: Deviation,
  order: number,
  chance: StrikeChance,
  stream: Stream,
): { readonly values: number[]; readonly tries: number } {
  const { strike } = recipe;
  const { values, tries } = swingOnce(from, person, state, order, strike.staticLoftDeg, stream);
  const struck = strikeBall(
    {
      shaftLeanDeg: values.shaft_lean_impact_deg!,
      attackAngleDeg: values.attack_angle_deg!,
      clubSpeedMps: values.club_speed_mps!,
      strikeOffsetMm: 0,
      lowPointCm: values.low_point_cm,
    },
    strike,
    chance,
  );
  const further: Record<string, number> = {
    low_point_cm: struck.lowPointCm,
    ball_speed_mps: struck.ballSpeedMps,
    smash_factor: struck.ballSpeedMps / values.club_speed_mps!,
    strike_rating: struck.rating,
    ground_first: struck.groundFirst ? 1 : 0,
  };
  return {
    values: COLUMNS.map((column) => further[column] ?? values[column as keyof typeof values]!),
    tries,
  };
}

function componentsOf(recipe: Recipe, golfers: readonly SimulatedGolfer[]) {
  const all = COLUMNS.flatMap((column, c) => {
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
      const [x, y] = [COLUMNS.indexOf(predictor), COLUMNS.indexOf(outcome)];
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

/** What the drill, with the practice done, and practice alone do to how this golfer swings as a rule. */
export function golferEffects(
  recipe: Recipe,
  from: GolferDistributions,
  person: MechanicalPerson,
  doseMultiplierHere: number,
): { readonly drill: ByColumn<number>; readonly practice: ByColumn<number> } {
  const still = asARule(from);
  const stream = createStream(0, 'as a rule');
  const day = drawDay(still, person, stream);
  const values = (hold: Hold) =>
    swingOnce(still, person, learnt(person, day, hold), 0, recipe.strike.staticLoftDeg, stream).values;
  const difference = (after: ReturnType<typeof values>, before: ReturnType<typeof values>) =>
    Object.fromEntries(
      COLUMNS.flatMap((column) => {
        const key = column as keyof typeof after;
        const [a, b] = [after[key], before[key]];
        return typeof a === 'number' && typeof b === 'number' ? [[column, clean(six(a - b))]] : [];
      }),
    );
  const [none, practised] = [values({ drill: 0, practice: 0 }), values({ drill: 0, practice: 1 })];
  return {
    drill: difference(values({ drill: doseMultiplierHere, practice: 1 }), practised),
    practice: difference(practised, none),
  };
}

function six(value: number): number {
  return Number(value.toPrecision(6)) + 0;
}
