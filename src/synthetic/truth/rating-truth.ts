import { logisticScale } from '../model/strike.ts';
import type { Recipe } from '../recipe/recipe.ts';
import { clean } from './population-truth.ts';

/** The cumulative logit of a better rating by the rater, where it is exactly that. */
export interface RatingTruth {
  readonly logOddsPerLeanDeg: number;
  /** Log odds at lean 0 of a rating above 1, 2, 3, 4. */
  readonly logOddsAboveAtLean0: readonly number[];
}

/** null where the rating depends on more than lean, or is no cumulative logit. */
export function ratingTruth({ strike }: Recipe): RatingTruth | null {
  const { rating } = strike;
  const { gainPerLeanDeg, thresholds, raterBias = 0 } = rating;
  const other = rating.lossPerLeanDeg2 + rating.lossPerOffsetMm + rating.lossForGroundFirst;
  if (
    rating.raterNoise !== 'logistic' ||
    gainPerLeanDeg === undefined ||
    thresholds === undefined ||
    other !== 0
  )
    return null;
  const scale = logisticScale(rating);
  return {
    logOddsPerLeanDeg: clean(gainPerLeanDeg / scale),
    logOddsAboveAtLean0: thresholds.map((threshold) => clean((rating.best + raterBias - threshold) / scale)),
  };
}
