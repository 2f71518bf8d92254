import { normalUpperQuantile } from '../../numerics/index.ts';
import type { TwoWayMeanSquares } from './two-way.ts';

/**
 * The smallest change between two measurements that their noise alone would exceed in only 1 - level of cases:
 * z x sqrt 2 x the standard error of measurement, 2.772 times it at 95 % (Weir 2005, J Strength Cond Res 19:231-240).
 *
 * @throws Error for a negative standard error of measurement or a level outside (0, 1)
 * @example minimalDetectableChange(1.00968) // 2.79864
 */
export function minimalDetectableChange(standardErrorOfMeasurement: number, level = 0.95): number {
  if (!(standardErrorOfMeasurement >= 0))
    throw new Error('minimalDetectableChange: the standard error of measurement must be 0 or more');
  if (!(level > 0 && level < 1))
    throw new Error(`minimalDetectableChange: the level must lie between 0 and 1; found ${level}`);
  return normalUpperQuantile((1 - level) / 2) * Math.SQRT2 * standardErrorOfMeasurement;
}

/** Standard errors of measurement of a single rating, in the unit of the ratings. */
export interface MeasurementErrors {
  /** sqrt of the residual mean square: the raters' (or occasions') own levels taken out. */
  readonly consistency: number;
  /** Their levels counted as error: sqrt(MSE + (MSC - MSE) / n). */
  readonly agreement: number;
  /** sqrt of the mean square within targets: from a one-way table. */
  readonly oneWay: number;
}

/**
 * Standard errors of measurement from a two-way table.
 * Source: Weir 2005, J Strength Cond Res 19:231-240; agreement as in McGraw and Wong's case 2.
 *
 * @example
 * // Shrout and Fleiss 1979
 * const ratings = [[9, 2, 5, 8], [6, 1, 3, 2], [8, 4, 6, 8], [7, 1, 2, 6], [10, 5, 6, 9], [6, 2, 4, 7]];
 * measurementErrors(twoWayMeanSquares(ratings)).consistency // 1.00968
 */
export function measurementErrors({
  targets,
  within,
  raterMean,
  error,
}: TwoWayMeanSquares): MeasurementErrors {
  return {
    consistency: Math.sqrt(error),
    agreement: Math.sqrt(error + Math.max(0, raterMean - error) / targets),
    oneWay: Math.sqrt(within),
  };
}
