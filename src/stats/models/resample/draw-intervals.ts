import { quantileOfSorted } from '../../../numerics/index.ts';
import type { Draws } from './draw-refits.ts';
import { nameOf, placeOf, type Quantity, type WeightedSum } from './quantities.ts';

/** The interval of one quantity from draws, in the unit of the quantity. */
export interface DrawInterval {
  readonly name: string;
  /** What was drawn from. */
  readonly centre: number;
  /** Mean of the draws minus the centre. */
  readonly bias: number;
  /** SD of the draws. */
  readonly standardError: number;
  readonly interval: readonly [number, number];
  /** Draws the interval rests on. */
  readonly draws: number;
  /** What is to be known about the draws, in words. */
  readonly notes: readonly string[];
}

/**
 * Bootstrap intervals: `percentile` takes the quantiles of the draws, `basic` mirrors them about the estimate.
 * Quantiles interpolate between order statistics. Draws whose fit failed have no estimate; they are counted in `notes`.
 * Source: Davison and Hinkley (1997), Bootstrap Methods and their Application, sections 2.4 and 5.2.
 * Throws when a quantity is not one of the model's, or when fewer than 20 fits converged.
 *
 * @example
 * const outcome = prepareModel({ outcome: 'y', fixed: ['intercept'] }, { y: [1, 2, 6] });
 * const draws = drawRefits(outcome.prepared, { of: 'outcomes', draws: 1000, seed: 7 });
 * const [low, high] = drawIntervals(draws)[0]!.interval;
 * low < 3 && 3 < high // true
 */
export function drawIntervals(
  draws: Draws,
  wanted: readonly (Quantity | WeightedSum)[] = draws.quantities,
  kind: 'percentile' | 'basic' = 'percentile',
  level = 0.95,
): DrawInterval[] {
  if (!(level > 0 && level < 1))
    throw new Error(`drawIntervals: the level must lie between 0 and 1; found ${level}`);
  const { quantities, values, failed, singular } = draws;
  const count = quantities.length;
  const all = draws.task.draws;
  const notes: string[] = [];
  if (failed.length > 0)
    notes.push(
      `${failed.length} of ${all} fits did not converge and have no estimate; the interval rests on the others.`,
    );
  if (singular > 0)
    notes.push(
      `In ${singular} of ${all} draws a variance was estimated as zero or a correlation as 1 or -1.`,
    );
  return wanted.map((quantity) => {
    const weights = new Float64Array(count);
    if (quantity.kind === 'sum')
      for (const [term, weight] of Object.entries(quantity.weights))
        weights[placeOf(quantities, { kind: 'fixed', term })] = weight;
    else weights[placeOf(quantities, quantity)] = 1;
    const sum = (row: Float64Array, at: number) => {
      let total = 0;
      for (let i = 0; i < count; i++) if (weights[i] !== 0) total += weights[i]! * row[at + i]!;
      return total;
    };
    const drawn: number[] = [];
    for (let k = 0; k < all; k++) {
      const value = sum(values, k * count);
      if (!Number.isNaN(value)) drawn.push(value);
    }
    if (drawn.length < 20)
      throw new Error(
        `drawIntervals: only ${drawn.length} of ${all} fits converged; draw more, or a simpler model`,
      );
    const sorted = Float64Array.from(drawn).sort();
    const centre = sum(draws.centre, 0);
    const mean = drawn.reduce((total, value) => total + value, 0) / drawn.length;
    const square = drawn.reduce((total, value) => total + (value - mean) ** 2, 0);
    const lower = quantileOfSorted(sorted, (1 - level) / 2);
    const upper = quantileOfSorted(sorted, (1 + level) / 2);
    return {
      name: nameOf(quantity),
      centre,
      bias: mean - centre,
      standardError: Math.sqrt(square / (drawn.length - 1)),
      interval: kind === 'percentile' ? [lower, upper] : [2 * centre - upper, 2 * centre - lower],
      draws: drawn.length,
      notes,
    };
  });
}
