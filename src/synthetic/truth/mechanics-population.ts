import { createStream, type Stream } from '../../numerics/index.ts';
import { type Deviation, type GolferDistributions, MECHANICAL_COLUMNS } from '../bodies/index.ts';
import { doseMultiplier, drawEfforts, relativeDose } from '../model/dose.ts';
import {
  asARule,
  drawDay,
  drawPerson,
  learnt,
  type MechanicalPerson,
  swingOnce,
} from '../model/mechanics.ts';
import { handicapAt, skillOf } from '../model/skill.ts';
import { drawStrikeChance, type StrikeChance, strikeBall } from '../model/strike.ts';
import type { Recipe } from '../recipe/recipe.ts';
import type { Hold } from './curved-effects.ts';
import { average, type NestedValues } from './nested-moments.ts';
import type { ByColumn } from './population-truth.ts';

/** Columns whose truth is simulated: what the mechanics bring, and the strike that follows. */
export const SIMULATED_COLUMNS = [
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

/** Those of them that every swing must have; where the arc is not seen to its lowest, the low point follows from the attack angle. */
const ALWAYS_THERE = MECHANICAL_COLUMNS.filter(
  (column) => column !== 'low_point_cm' && (SIMULATED_COLUMNS as readonly string[]).includes(column),
);

export const VISITS = 2;
export const SWINGS = 2;

/** What one golfer of the simulated population shows. */
export interface SimulatedGolfer {
  readonly baseline: NestedValues;
  /** Differences of means of the first visit's swings. */
  readonly practice: readonly number[];
  readonly post: readonly number[];
  readonly retention: readonly number[];
  readonly tries: number;
}

/** One golfer of the population swings at baseline, and again with what has been learnt, with the same random numbers. */
export function simulateGolfer(recipe: Recipe, from: GolferDistributions, stream: Stream): SimulatedGolfer {
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
    SIMULATED_COLUMNS.map((_, c) => average(first.map((swing) => of(swing)[c]!)));
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
  const { values, tries } = swingOnce(from, person, state, order, strike.staticLoftDeg, stream, ALWAYS_THERE);
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
    values: SIMULATED_COLUMNS.map((column) => further[column] ?? values[column as keyof typeof values]!),
    tries,
  };
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
      SIMULATED_COLUMNS.flatMap((column) => {
        const key = column as keyof typeof after;
        const [a, b] = [after[key], before[key]];
        return typeof a === 'number' && typeof b === 'number' ? [[column, six(a - b)]] : [];
      }),
    );
  const [none, practised] = [values({ drill: 0, practice: 0 }), values({ drill: 0, practice: 1 })];
  return {
    drill: difference(values({ drill: doseMultiplierHere, practice: 1 }), practised),
    practice: difference(practised, none),
  };
}

/** A simulated number, without digits that say nothing. */
export function six(value: number): number {
  return Number(value.toPrecision(6)) + 0;
}
