import type { Stream } from '../../numerics/index.ts';
import { CURVE_QUANTITIES, type CurveQuantity, type CurveRecipe, type Recipe } from '../recipe/recipe.ts';
import { MODELLED_METRICS } from './modelled-metrics.ts';

/** A curve over the downswing: one value, deg, at each whole per cent from 0 (top) to 100 (impact). */
export interface CurveSample {
  readonly quantity: CurveQuantity;
  readonly values: Float64Array;
}

/** What lasts about a golfer's curves. */
export interface GolferCurve {
  readonly departure: Departure;
  /** Height of the drill's window in this golfer; 0 without a window. */
  readonly height: number;
}

/** Makes the curves of the swings of one visit. */
export interface CurveVisit {
  /**
   * @param truth the swing's true values
   * @param placement this visit's errors of placement, which move whole stretches of the curve
   * @param order the swing's place in the visit
   */
  swing(truth: Float64Array, placement: Float64Array, order: number): CurveSample[];
}

const SAMPLES = 101;
const WAVES = 3;

/** Sizes of the waves of a departure, a list for each stretch between two points. */
type Departure = readonly (readonly number[])[];

/** The quantities a recipe makes curves of, with what they are made from. */
export function curveRecipes(recipe: Recipe): readonly (readonly [CurveQuantity, CurveRecipe])[] {
  return CURVE_QUANTITIES.flatMap((quantity) => {
    const curve = recipe.curves?.[quantity];
    return curve === undefined ? [] : [[quantity, curve] as const];
  });
}

/** Draw what lasts about a golfer's curves, one entry for each quantity. */
export function drawGolferCurves(recipe: Recipe, stream: Stream): GolferCurve[] {
  return curveRecipes(recipe).map(([quantity, curve]) => {
    const own = stream.sub(quantity);
    const { height = 0, heightSd = 0 } = curve.window ?? {};
    return { departure: drawDeparture(curve, curve.golferSd, own), height: own.normal(height, heightSd) };
  });
}

/** The curves of a visit; null where the recipe makes none. */
export function curveVisit(
  recipe: Recipe,
  golfer: { readonly curves: readonly GolferCurve[] },
  drillHold: number,
  stream: Stream,
): CurveVisit | null {
  const recipes = curveRecipes(recipe);
  if (recipes.length === 0) return null;
  const source = stream.sub('curves');
  const today = recipes.map(([quantity, curve]) =>
    drawDeparture(curve, curve.sessionSd, source.sub(quantity)),
  );
  return {
    swing: (truth, placement, order) =>
      recipes.map(([quantity, curve], q) => {
        const own = source.sub(quantity, order);
        const departures = [golfer.curves[q]!.departure, today[q]!, drawDeparture(curve, curve.swingSd, own)];
        const heights = curve.through.map(({ sumOf }) =>
          sumOf.reduce((sum, metric) => {
            const m = MODELLED_METRICS.indexOf(metric);
            return sum + truth[m]! + placement[m]!;
          }, 0),
        );
        const values = lineThrough(curve, heights, departures);
        for (let pct = 0; pct < SAMPLES; pct++)
          values[pct]! +=
            drillHold * golfer.curves[q]!.height * windowShape(curve, pct) + own.normal(0, curve.sampleSd);
        return { quantity, values };
      }),
  };
}

/** A raised cosine: 1 in the middle of the window, 0 at its ends and outside. */
export function windowShape({ window }: CurveRecipe, pct: number): number {
  if (window === undefined || pct <= window.fromPct || pct >= window.toPct) return 0;
  const turn = (2 * Math.PI * (pct - window.fromPct)) / (window.toPct - window.fromPct);
  return (1 - Math.cos(turn)) / 2;
}

function drawDeparture(curve: CurveRecipe, sd: number, stream: Stream): Departure {
  return curve.through
    .slice(1)
    .map(() => Array.from({ length: WAVES }, (_, wave) => stream.normal(0, sd / (wave + 1))));
}

/**
 * A curve through the points: cubic between them, with the slope of the chord of the neighbours (0 at the top), plus departures
 * sin(pi u) sum_j z_j sin(j pi u), which are nothing, and flat, at the points.
 */
function lineThrough(
  curve: CurveRecipe,
  heights: readonly number[],
  departures: readonly Departure[],
): Float64Array {
  const at = curve.through.map(({ pct }) => pct);
  const last = at.length - 1;
  const slopes = at.map((_, i) => {
    if (i === 0) return 0;
    const [before, after] = [i - 1, Math.min(i + 1, last)];
    return (heights[after]! - heights[before]!) / (at[after]! - at[before]!);
  });
  const values = new Float64Array(SAMPLES);
  let stretch = 0;
  for (let pct = 0; pct < SAMPLES; pct++) {
    while (stretch < last - 1 && pct > at[stretch + 1]!) stretch++;
    const width = at[stretch + 1]! - at[stretch]!;
    const u = (pct - at[stretch]!) / width;
    const [from, to] = [heights[stretch]!, heights[stretch + 1]!];
    let value =
      from * (1 + 2 * u) * (1 - u) ** 2 +
      to * u ** 2 * (3 - 2 * u) +
      width * (slopes[stretch]! * u * (1 - u) ** 2 - slopes[stretch + 1]! * u ** 2 * (1 - u));
    for (const departure of departures)
      departure[stretch]!.forEach((size, wave) => {
        value += size * Math.sin(Math.PI * u) * Math.sin(Math.PI * (wave + 1) * u);
      });
    values[pct] = value;
  }
  return values;
}
