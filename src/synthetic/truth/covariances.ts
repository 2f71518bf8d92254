import { MODELLED_METRICS } from '../model/modelled-metrics.ts';
import { atSkill, type Level, ownVariances, type PathModel } from '../model/path-model.ts';
import { type SkillDistribution, skillDistribution } from '../model/skill.ts';
import type { Recipe } from '../recipe/recipe.ts';
import { settingOf } from '../setting.ts';
import { slopeNodes } from './slope-nodes.ts';

/** Covariances of the true values of all modelled metrics in the population, row by row: metric i with metric j at i * n + j. */
export interface Covariances {
  /** Between golfers of one handicap. */
  readonly sameHandicap: Float64Array;
  /** Between golfers, handicap included. */
  readonly golfer: Float64Array;
  /** Between visits of a golfer. */
  readonly session: Float64Array;
  /** Between swings of a visit. */
  readonly swing: Float64Array;
}

/**
 * Exact covariances at each level: loadings x own variances x loadings', averaged over skill and over golfers' slopes,
 * which do not depend on each other.
 */
export function covariances(recipe: Recipe): Covariances {
  const { model, golferModel } = settingOf(recipe);
  const skills = skillDistribution(recipe.roster);
  const nodes = slopeNodes(recipe, model);
  const within = (level: Level) => {
    const own = meanOwnVariances(recipe, model, level, skills);
    return nodes.reduce<Float64Array>(
      (sum, node) => add(sum, throughPaths(node.model, own), node.share),
      zero(),
    );
  };
  const sameHandicap = throughPaths(golferModel, meanOwnVariances(recipe, golferModel, 'golfer', skills));
  return {
    sameHandicap,
    golfer: add(sameHandicap, covarianceOfMeans(recipe, skills), 1),
    session: within('session'),
    swing: within('swing'),
  };
}

const N = MODELLED_METRICS.length;
const zero = () => new Float64Array(N * N);

function add(a: Float64Array, b: Float64Array, share: number): Float64Array {
  return a.map((value, at) => value + share * b[at]!);
}

function meanOwnVariances(
  recipe: Recipe,
  model: PathModel,
  level: Level,
  skills: SkillDistribution,
): Float64Array {
  const mean = new Float64Array(N);
  for (const { skill, share } of skills)
    ownVariances(model, recipe.metrics, level, skill).forEach((variance, m) => {
      mean[m]! += share * variance;
    });
  return mean;
}

function throughPaths({ loadings }: PathModel, own: Float64Array): Float64Array {
  const out = zero();
  for (let i = 0; i < N; i++)
    for (let j = 0; j < N; j++)
      for (let k = 0; k < N; k++) out[i * N + j]! += loadings[i * N + k]! * own[k]! * loadings[j * N + k]!;
  return out;
}

/** Covariance over the population of what is usual at a golfer's handicap. */
function covarianceOfMeans(recipe: Recipe, skills: SkillDistribution): Float64Array {
  const usual = (skill: number) =>
    MODELLED_METRICS.map((metric) => atSkill(recipe.metrics[metric].mean, skill));
  const centre = new Float64Array(N);
  for (const { skill, share } of skills)
    usual(skill).forEach((value, m) => {
      centre[m]! += share * value;
    });
  const out = zero();
  for (const { skill, share } of skills) {
    const values = usual(skill);
    for (let i = 0; i < N; i++)
      for (let j = 0; j < N; j++)
        out[i * N + j]! += share * (values[i]! - centre[i]!) * (values[j]! - centre[j]!);
  }
  return out;
}
