import type { Stream } from '../../numerics/index.ts';
import {
  type Deviation,
  type DrawnSwing,
  drawGolfer as drawBody,
  drawSession,
  drawSwing,
  type GolferDistributions,
  type MechanicalColumn,
  type MechanicalGolfer,
  type MechanicalSwing,
  type MechanicalValues,
  mechanicalSwing,
  SIMULATED_GOLFERS,
} from '../bodies/index.ts';
import { mergePatch } from '../recipe/merge-patch.ts';
import { type MeanSd, type Recipe, TIMING_PARAMETERS, type TimingParameter } from '../recipe/recipe.ts';
import { MODELLED_METRICS, type ModelledMetric } from './modelled-metrics.ts';
import { inTask } from './true-swing.ts';

/** A golfer whose swings come out of the mechanics, and what the drill and practice do to how they swing. */
export interface MechanicalPerson {
  readonly golfer: MechanicalGolfer;
  readonly drill: Deviation;
  readonly practice: Deviation;
}

/** What the golfers of a recipe are drawn from; null where its swings come from paths. */
export function distributionsOf({ movement }: Recipe): GolferDistributions | null {
  if (movement?.model !== 'mechanics') return null;
  return mergePatch(SIMULATED_GOLFERS, movement.golfers ?? {}) as GolferDistributions;
}

/** Draw how a golfer of that skill is built and swings. */
export function drawPerson(
  recipe: Recipe,
  from: GolferDistributions,
  skill: number,
  stream: Stream,
): MechanicalPerson {
  return {
    golfer: drawBody(from, skill, stream.sub('body')),
    drill: drawShift(recipe.movement?.drill ?? {}, stream.sub('drill response')),
    practice: drawShift(recipe.movement?.practice ?? {}, stream.sub('practice response')),
  };
}

function drawShift(effect: Readonly<Partial<Record<TimingParameter, MeanSd>>>, stream: Stream): Deviation {
  return perParameter((parameter) => {
    const z = stream.normal();
    const direct = effect[parameter];
    return direct === undefined ? 0 : direct.mean + direct.sd * z;
  });
}

function perParameter(value: (parameter: TimingParameter) => number): Deviation {
  return Object.fromEntries(
    TIMING_PARAMETERS.map((parameter) => [parameter, value(parameter)]),
  ) as unknown as Deviation;
}

/** The day's form. */
export function drawDay(from: GolferDistributions, { golfer }: MechanicalPerson, stream: Stream): Deviation {
  return drawSession(from, golfer, stream);
}

/** What has been learnt by a visit, on top of the day's form. */
export function learnt(
  { drill, practice }: MechanicalPerson,
  day: Deviation,
  hold: { readonly drill: number; readonly practice: number },
): Deviation {
  return perParameter(
    (parameter) => day[parameter] + hold.drill * drill[parameter] + hold.practice * practice[parameter],
  );
}

const MOST_TRIES = 200;

/**
 * One swing. A draw that makes no swing (the trail hand would leave the grip, the club would not reach the ball) is drawn again.
 *
 * @param state the day's form and what has been learnt
 * @param order of the swing in the visit, from 0
 * @param needed columns without whose values a swing does not count
 * @throws Error where no draw makes a swing
 */
export function swingOnce(
  from: GolferDistributions,
  { golfer }: MechanicalPerson,
  state: Deviation,
  order: number,
  staticLoftDeg: number,
  stream: Stream,
  needed: readonly MechanicalColumn[] = [],
): MechanicalSwing & { readonly tries: number; readonly drawn: DrawnSwing } {
  for (let tries = 1; tries <= MOST_TRIES; tries++) {
    const drawn = drawSwing(from, golfer, state, order, stream.sub(tries));
    const swing = mechanicalSwing(drawn, staticLoftDeg);
    if ('fault' in swing || needed.some((column) => swing.values[column] === null)) continue;
    return { ...swing, tries, drawn };
  }
  throw new Error(
    `swingOnce: ${MOST_TRIES} draws made no swing of a golfer; make the effects in movement.drill or movement.practice smaller.`,
  );
}

/** The distributions without chance from day to day and swing to swing: how a golfer swings as a rule, warm and rested. */
export function asARule(from: GolferDistributions): GolferDistributions {
  return {
    ...from,
    between: allNothing(from.between),
    course: { ...from.course, coldLoss: 0, coldUnsteady: 0 },
  };
}

/** The same object with 0 for every number. */
function allNothing<T>(value: T): T {
  if (typeof value === 'number') return 0 as T;
  return Object.fromEntries(
    Object.entries(value as object).map(([key, inner]) => [key, allNothing(inner)]),
  ) as T;
}

/** Modelled metrics that the mechanics bring; the others come from the recipe's paths. */
export const MECHANICAL_METRICS = [
  'trail_elbow_flexion_top_deg',
  'elbow_recoil_deg',
  'transition_elbow_change_deg',
  'trail_elbow_flexion_impact_deg',
  'elbow_extension_onset_ms',
  'elbow_extension_speed_peak_dps',
  'lag_top_deg',
  'lag_gain_deg',
  'lag_delivery_deg',
  'lag_impact_deg',
  'release_onset_ms',
  'shaft_lean_impact_deg',
  'downswing_ms',
  'hand_speed_peak_mps',
  'club_speed_mps',
  'attack_angle_deg',
] as const satisfies readonly ModelledMetric[];

const PLACES = MECHANICAL_METRICS.map((metric) => MODELLED_METRICS.indexOf(metric));

/**
 * Put the values of a simulated swing in the place of those of the paths; NaN where the swing has none. The drill task is the full
 * swing as the recipe's speedPower and drillTaskShift have it.
 */
export function overlay(
  recipe: Recipe,
  values: MechanicalValues,
  truth: Float64Array,
  task: 'full' | 'drill',
  speedShare: number,
): void {
  MECHANICAL_METRICS.forEach((metric, at) => {
    const value =
      metric === 'lag_gain_deg'
        ? values.lag_peak_deg === null || values.lag_top_deg === null
          ? null
          : values.lag_peak_deg - values.lag_top_deg
        : values[metric];
    const m = PLACES[at]!;
    truth[m] = inTask(recipe, m, value ?? Number.NaN, task, speedShare);
  });
}
