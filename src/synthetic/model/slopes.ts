import type { Stream } from '../../numerics/index.ts';
import type { PathName, Recipe } from '../recipe/recipe.ts';
import { MODELLED_METRICS, type ModelledMetric } from './modelled-metrics.ts';
import { type PathModel, withSlopes } from './path-model.ts';

/** A slope that differs between golfers. */
export interface VaryingSlope extends PathName {
  readonly sd: number;
  /** Where it stands in the model's slopes. */
  readonly at: number;
  /** The earlier slope it goes along with, as an index of the list, and how closely. */
  readonly partner: number | null;
  readonly correlation: number;
}

/** The slopes of a recipe that differ between golfers, in the order of the metrics. */
export function varyingSlopes(recipe: Recipe, model: PathModel): VaryingSlope[] {
  const n = MODELLED_METRICS.length;
  const slopes: VaryingSlope[] = [];
  for (const to of MODELLED_METRICS)
    for (const [name, sd] of Object.entries(recipe.metrics[to].pathSds ?? {})) {
      const from = name as ModelledMetric;
      const pair = partnerOf(recipe, { from, to });
      const partner = pair === null ? -1 : slopes.findIndex((slope) => isSame(slope, pair.other));
      slopes.push({
        from,
        to,
        sd,
        at: model.index[to] * n + model.index[from],
        partner: partner < 0 ? null : partner,
        correlation: pair?.correlation ?? 0,
      });
    }
  return slopes;
}

function partnerOf(recipe: Recipe, slope: PathName) {
  for (const { first, second, correlation } of recipe.mechanism?.slopeCorrelations ?? []) {
    if (isSame(first, slope)) return { other: second, correlation };
    if (isSame(second, slope)) return { other: first, correlation };
  }
  return null;
}

export function isSame(a: PathName, b: PathName): boolean {
  return a.from === b.from && a.to === b.to;
}

/** The model of one golfer: the mean slopes, changed by independent standard normal numbers, one for each varying slope. */
export function modelWith(
  model: PathModel,
  varying: readonly VaryingSlope[],
  z: readonly number[],
): PathModel {
  const slopes = Float64Array.from(model.slopes);
  varying.forEach(({ at, sd, partner, correlation }, i) => {
    const standard =
      partner === null ? z[i]! : correlation * z[partner]! + Math.sqrt(1 - correlation ** 2) * z[i]!;
    slopes[at]! += sd * standard;
  });
  return withSlopes(model.order, slopes);
}

/** A golfer's own model; the recipe's where all golfers share it. */
export function golferSlopes(recipe: Recipe, model: PathModel, stream: Stream): PathModel {
  const varying = varyingSlopes(recipe, model);
  if (varying.length === 0) return model;
  return modelWith(
    model,
    varying,
    varying.map(() => stream.normal()),
  );
}
