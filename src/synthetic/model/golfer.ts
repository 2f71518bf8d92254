import type { Stream } from '../../numerics/index.ts';
import type { GolferDistributions } from '../bodies/index.ts';
import type { MeanSd, Recipe } from '../recipe/recipe.ts';
import { drawGolferCurves, type GolferCurve } from './curve.ts';
import { drawPerson, type MechanicalPerson } from './mechanics.ts';
import { MODELLED_METRICS, type ModelledMetric } from './modelled-metrics.ts';
import { atSkill, deviations, ownParts, ownVariances, type PathModel } from './path-model.ts';
import { handicapAt, skillOf } from './skill.ts';
import { golferSlopes } from './slopes.ts';

/** A golfer drawn from a recipe. Arrays have one entry for each modelled metric. */
export interface Golfer {
  readonly handicap: number;
  /** 0 less skilled, 1 skilled. */
  readonly skill: number;
  readonly plays: 'right' | 'left';
  readonly heightCm: number;
  readonly ageBand: string;
  /** How the golfer is built and swings; null where swings come from paths. */
  readonly mechanical: MechanicalPerson | null;
  /** What is usual at this skill. */
  readonly means: Float64Array;
  /** How deviations of this golfer's visits and swings travel. */
  readonly model: PathModel;
  /** The golfer's own parts: lasting deviations from what is usual. */
  readonly own: Float64Array;
  /** Variances of the own parts of a visit. */
  readonly sessionOwnVariances: Float64Array;
  /** SDs of the own parts of a single swing. */
  readonly swingOwnSd: Float64Array;
  /** Direct effect of the planned amount of the drill on full swings. */
  readonly drillResponse: Float64Array;
  /** Direct gain from practising. */
  readonly practiceResponse: Float64Array;
  /** What lasts about this golfer's curves, one entry for each quantity of the recipe's curves. */
  readonly curves: readonly GolferCurve[];
}

interface GolferSetting {
  readonly mechanics: GolferDistributions | null;
  readonly recipe: Recipe;
  readonly model: PathModel;
  readonly golferModel: PathModel;
}

/** Draw a golfer. */
export function drawGolfer({ recipe, model, golferModel, mechanics }: GolferSetting, stream: Stream): Golfer {
  const person = stream.sub('person');
  const { roster, metrics, learning } = recipe;
  const handicap = handicapAt(roster, person.uniform());
  const skill = skillOf(roster, handicap);
  const own = ownVariances(golferModel, metrics, 'golfer', skill);
  const parts = stream.sub('own parts');
  for (let m = 0; m < own.length; m++) own[m] = Math.sqrt(own[m]!) * parts.normal();
  const personal = golferSlopes(recipe, model, stream.sub('slopes'));
  // Lasting deviations travel by the slopes between golfers; restated so that the golfer's own model brings forth the same.
  const restated = personal === golferModel ? own : ownParts(personal, deviations(golferModel, own));
  const mechanical =
    mechanics === null ? null : drawPerson(recipe, mechanics, skill, stream.sub('mechanics'));
  const plays = person.bernoulli(roster.leftHandedShare) ? 'left' : 'right';
  const heightCm = person.normal(roster.heightCm.mean, roster.heightCm.sd);
  return {
    handicap,
    skill,
    plays: mechanical?.golfer.plays ?? plays,
    heightCm: Math.round(mechanical === null ? heightCm : 100 * mechanical.golfer.height_m),
    mechanical,
    ageBand: person.choice(roster.ageBands),
    means: Float64Array.from(MODELLED_METRICS, (metric) => atSkill(metrics[metric].mean, skill)),
    model: personal,
    own: restated,
    sessionOwnVariances: ownVariances(model, metrics, 'session', skill),
    swingOwnSd: ownVariances(model, metrics, 'swing', skill).map(Math.sqrt),
    drillResponse: drawResponse(learning.drill, stream.sub('drill response')),
    practiceResponse: drawResponse(learning.practice, stream.sub('practice response')),
    curves: drawGolferCurves(recipe, stream.sub('curves')),
  };
}

/** One golfer's direct response: the mean effect and how this golfer differs from it. */
export function drawResponse(
  effect: Readonly<Partial<Record<ModelledMetric, MeanSd>>>,
  stream: Stream,
): Float64Array {
  return Float64Array.from(MODELLED_METRICS, (metric) => {
    const z = stream.normal();
    const direct = effect[metric];
    return direct === undefined ? 0 : direct.mean + direct.sd * z;
  });
}
