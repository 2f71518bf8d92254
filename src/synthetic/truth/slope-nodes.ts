import type { PathModel } from '../model/path-model.ts';
import { modelWith, varyingSlopes } from '../model/slopes.ts';
import type { Recipe } from '../recipe/recipe.ts';

/** A golfer's model, and the share of golfers it stands for. */
export interface SlopeNode {
  readonly share: number;
  readonly model: PathModel;
}

/**
 * Five-point Gauss-Hermite rule for a standard normal number, in closed form; exact for polynomials to degree 9
 * (Abramowitz & Stegun, Handbook of Mathematical Functions, 25.4.46, rescaled).
 */
const ROOT = Math.sqrt(10);
const POINTS = [
  { at: 0, share: 8 / 15 },
  ...[1, -1].flatMap((sign) => [
    { at: sign * Math.sqrt(5 - ROOT), share: (7 + 2 * ROOT) / 60 },
    { at: sign * Math.sqrt(5 + ROOT), share: (7 - 2 * ROOT) / 60 },
  ]),
];

/**
 * Golfers' models over which a mean of products of slopes is exact; the recipe's own model where all golfers share it.
 * A mean over golfers of a covariance is such a mean, since a covariance is a polynomial in the slopes.
 */
export function slopeNodes(recipe: Recipe, model: PathModel): readonly SlopeNode[] {
  const varying = varyingSlopes(recipe, model);
  if (varying.length === 0) return [{ share: 1, model }];
  let grid: { share: number; z: number[] }[] = [{ share: 1, z: [] }];
  for (const _ of varying)
    grid = grid.flatMap(({ share, z }) =>
      POINTS.map((point) => ({ share: share * point.share, z: [...z, point.at] })),
    );
  return grid.map(({ share, z }) => ({ share, model: modelWith(model, varying, z) }));
}
