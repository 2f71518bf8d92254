import { type Retained, retainedAt } from '../design/retained.ts';
import { doseMultiplier } from '../model/dose.ts';
import type { Golfer } from '../model/golfer.ts';
import { distributionsOf } from '../model/mechanics.ts';
import { pathModel } from '../model/path-model.ts';
import type { Teaching } from '../model/teaching.ts';
import type { Participant } from '../participant.ts';
import type { Recipe } from '../recipe/recipe.ts';
import {
  type CurveTruth,
  curveTruth,
  type DevicesTruth,
  devicesTruth,
  type SeriesTruth,
  seriesTruth,
  type TeachingTruth,
  teachingTruth,
} from './further-truth.ts';
import { dot, linearColumns } from './linear-columns.ts';
import { golferEffects } from './mechanics-population.ts';
import { type MovementTruth, mechanicsTruth } from './mechanics-truth.ts';
import { type MechanismTruth, mechanismTruth } from './mechanism-truth.ts';
import { type ByColumn, clean, type PopulationTruth, populationTruth } from './population-truth.ts';

/** What truly happened to one golfer, which no analysis can see. Full swings; columns that the learning touches. */
export interface GolferTruth {
  readonly golfer_id: string;
  readonly arms: readonly string[];
  /** What the drill does to this golfer at post (with the practice done), whether or not the golfer had the drill. */
  readonly drillEffect: ByColumn<number>;
  /** What practice alone does. */
  readonly practiceEffect: ByColumn<number>;
  /** Repetitions as a multiple of the average; 1 for a golfer without the drill. */
  readonly dose: number;
  readonly leftEarly: boolean;
}

/** The content of truth.json. */
export interface Truth extends PopulationTruth {
  readonly invented: true;
  readonly recipe: string;
  readonly title: string;
  readonly seed: number;
  readonly design: Recipe['design']['kind'];
  readonly estimand: string;
  /** Effect on full swings as a share of the effect in the drill task. */
  readonly carryOver: number;
  /** For recipes with several retention visits: what is left at each, as shares of drillEffect and practiceEffect. */
  readonly retentionVisits?: readonly (Retained & { readonly day: number })[];
  readonly golfers: readonly GolferTruth[];
  /** How chains of metrics hang together, for recipes with a `mechanism`. */
  readonly mechanism?: MechanismTruth;
  /** For recipes with `teaching`. */
  readonly teaching?: TeachingTruth;
  /** For recipes with several `devices`. */
  readonly devices?: DevicesTruth;
  /** For the design `series`. */
  readonly series?: SeriesTruth;
  /** For recipes with `curves`. */
  readonly curves?: readonly CurveTruth[];
  /** For recipes whose swings come from mechanics. */
  readonly movement?: MovementTruth;
}

const ESTIMAND =
  'drillEffect is the mean over the population of golfers that the recipe describes, not over the golfers of this ' +
  'sample, of the effect of the drill over control on full swings at the phase post, as if nobody had left and ' +
  'before any selection. Exact where the column is linear in the recipe; otherwise simulated, with its standard ' +
  'error in drillEffectMonteCarloError. Yes/no columns are shares.';

const SIMULATED_ESTIMAND =
  'drillEffect is the mean over the population of golfers that the recipe describes of the effect of the drill over control on full ' +
  'swings at the phase post, as if nobody had left and before any selection: simulated as movement.method says, with its standard ' +
  'error in drillEffectMonteCarloError. Yes/no columns are shares.';

/** What was planted in a cohort. */
export function cohortTruth(
  recipe: Recipe,
  seed: number,
  participants: readonly Participant[],
  taught: Teaching | null,
): Truth {
  const model = pathModel(recipe.metrics);
  const from = distributionsOf(recipe);
  const mechanics = from === null ? null : mechanicsTruth(recipe, from);
  const { practiceEffect, ...population } = mechanics?.population ?? populationTruth(recipe);
  const touched = linearColumns(recipe, model).filter(
    ({ column }) => population.individualResponseSd[column] !== 0 || practiceEffect[column] !== 0,
  );
  const effects = (response: Float64Array, multiplier: number) =>
    Object.fromEntries(
      touched.map(({ column, weights }) => [column, clean(multiplier * dot(weights, response))]),
    );
  const golferTruth = (golfer: Golfer, multiplier: number) => {
    if (from !== null && golfer.mechanical !== null) {
      const { drill, practice } = golferEffects(recipe, from, golfer.mechanical, multiplier);
      return { drillEffect: drill, practiceEffect: practice };
    }
    return {
      drillEffect: effects(golfer.drillResponse, multiplier),
      practiceEffect: effects(golfer.practiceResponse, 1),
    };
  };
  return {
    invented: true,
    recipe: recipe.name,
    title: recipe.title,
    seed,
    design: recipe.design.kind,
    estimand: mechanics === null ? ESTIMAND : SIMULATED_ESTIMAND,
    ...population,
    practiceEffect,
    carryOver: recipe.learning.carryOver,
    ...present({
      retentionVisits: retentionVisits(recipe),
      mechanism: mechanismTruth(recipe),
      teaching: teachingTruth(recipe, taught, participants),
      devices: devicesTruth(recipe),
      series: seriesTruth(recipe, participants, ({ golfer }) => ({
        change: effects(golfer.drillResponse, 1),
        trend: effects(golfer.practiceResponse, 1),
      })),
      curves: curveTruth(recipe),
      movement: mechanics?.movement ?? null,
    }),
    golfers: participants.map(({ id, golfer, allocation, dose, leftEarly }) => ({
      golfer_id: id,
      arms: allocation.arms,
      ...golferTruth(golfer, doseMultiplier(recipe.learning.doseShare, dose)),
      dose: clean(dose),
      leftEarly,
    })),
  };
}

/** retentionEffect is that of the first of these; null where there is no later one. */
function retentionVisits({ design, learning }: Recipe) {
  if (!('visits' in design)) return null;
  const days = design.visits.filter(({ phase }) => phase === 'retention').map(({ day }) => day);
  if (days.length < 2) return null;
  return days.map((day) => {
    const { drill, practice } = retainedAt(design.visits, day, learning.retained);
    return { day, drill: clean(drill), practice: clean(practice) };
  });
}

/** The entries that are there. */
function present<T extends Record<string, unknown>>(entries: T): { [K in keyof T]?: NonNullable<T[K]> } {
  return Object.fromEntries(Object.entries(entries).filter(([, value]) => value !== null)) as {
    [K in keyof T]?: NonNullable<T[K]>;
  };
}
