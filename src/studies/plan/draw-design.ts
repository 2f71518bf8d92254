import { studentQuantile } from '../../numerics/index.ts';
import { type Draws, drawRefitsOnWorkers, prepareModel } from '../../stats/index.ts';
import type { Analysis, DesignPoint, DrawableDesign, Spread } from './planned-design.ts';
import { drawableDesign } from './planned-design.ts';

/**
 * What studies of one size would have found, one entry for each that was drawn and fitted. The true effect is zero in
 * them; one of another size shifts every estimate by itself and changes nothing else, since a fit by restricted
 * maximum likelihood sees only what the fixed effects leave over. So one set of draws serves every effect.
 */
export interface DesignDraws {
  readonly point: DesignPoint;
  /** Estimate minus true effect; NaN where the fit failed. */
  readonly error: Float64Array;
  /** Half the width of the interval; NaN where the fit failed. */
  readonly half: Float64Array;
  /** Fits that gave no interval. They count as studies without an answer, never as if they had not been drawn. */
  readonly failed: number;
  /** Fits with a variance of zero or a correlation at one: fit to use, and worth knowing. */
  readonly singular: number;
}

export interface DrawOptions {
  readonly draws: number;
  readonly seed: number;
  /** Threads; the numbers are the same for any number of them. */
  readonly workers: number;
}

/** Draws studies of this size and fits each with the model that will be used. */
export async function drawDesign(
  point: DesignPoint,
  spread: Spread,
  analysis: Analysis,
  { draws, seed, workers }: DrawOptions,
): Promise<DesignDraws> {
  const design = drawableDesign(point, spread, analysis);
  const made = prepareModel(design.model, design.data);
  if (!made.ok)
    throw new Error(
      `drawDesign: the model cannot be built: ${made.problems.map(({ found }) => found).join('; ')}`,
    );
  const task = {
    of: 'outcomes',
    truth: design.truth,
    draws,
    seed,
    tests: analysis.degreesOfFreedom,
  } as const;
  return {
    point,
    ...intervalsOf(design, await drawRefitsOnWorkers(made.prepared, task, workers), analysis.level),
  };
}

/** The interval of the effect in each draw. */
export function intervalsOf(
  { term }: Pick<DrawableDesign, 'term'>,
  { quantities, values, tests, task, singular }: Draws,
  level: number,
): Omit<DesignDraws, 'point'> {
  const at = quantities.findIndex((quantity) => quantity.kind === 'fixed' && quantity.term === term);
  const { standardError, degreesOfFreedom } = tests[at]!;
  const error = new Float64Array(task.draws).fill(Number.NaN);
  const half = new Float64Array(task.draws).fill(Number.NaN);
  let failed = 0;
  for (let k = 0; k < task.draws; k++) {
    const df = degreesOfFreedom[k]!;
    const width = df > 0 ? studentQuantile((1 + level) / 2, df) * standardError[k]! : Number.NaN;
    if (!(width > 0)) {
      failed += 1;
      continue;
    }
    error[k] = values[k * quantities.length + at]!;
    half[k] = width;
  }
  return { error, half, failed, singular };
}
