import type { Model } from '../contract.ts';
import type { FixedEffect } from '../design/fixed-columns.ts';
import type { Grouping, RandomColumns } from '../design/random-columns.ts';
import type { Likelihood } from './likelihood/likelihood.ts';
import type { RandomLayout } from './random/random-layout.ts';

/**
 * A model of a yes/no, ordinal or count outcome and its data made ready to be fitted. The fit is done in
 * coordinates of its own: fixed columns orthogonal (and, where thresholds take the intercept's place, of mean
 * zero), random columns of unit size. `upper` and `means` lead back.
 */
export interface GeneralisedDesign {
  readonly model: Model;
  readonly rows: number;
  readonly leftOut: readonly { readonly row: number; readonly why: string }[];
  readonly notes: readonly string[];
  readonly fixedNames: readonly string[];
  readonly fixedEffects: readonly FixedEffect[];
  readonly groupings: readonly Grouping[];
  readonly terms: readonly RandomColumns[];
  readonly likelihood: Likelihood;
  /** What each row observed, as given: the count of successes, the count, or the number of the category. */
  readonly observed: Float64Array;
  /** Trials of each row of a binary outcome; null where each row is one trial, and for other outcomes. */
  readonly trials: Float64Array | null;
  /** Names of the thresholds (`1|2`); empty unless ordinal. */
  readonly thresholdNames: readonly string[];
  /** rows x p fixed columns as named, column after column. */
  readonly named: Float64Array;
  /** rows x p fixed columns in the coordinates of the fit, column after column. */
  readonly x: Float64Array;
  /** p x p upper triangle: fitted coefficients = upper x the coefficients as named. */
  readonly upper: Float64Array;
  /** Means of the named columns where thresholds were fitted to centred columns; otherwise zeros. */
  readonly means: Float64Array;
  readonly offset: Float64Array | null;
  readonly layout: RandomLayout | null;
}
