import { normalUpper, studentUpper } from '../../../numerics/index.ts';
import { averagedPredictions, type Combination, combineAll, type Fit } from '../../../stats/index.ts';
import { type Effect, effectOf, type OwnChange } from './effect.ts';

/**
 * What a fit says of each golfer, by golfer: the change shrunken by how noisy his or her data are, averaged over the
 * variances that the data allow, since with few golfers a variance that is estimated, as zero perhaps, is not known.
 * Over golfers such intervals hold the truth as often as they say, or somewhat more often where golfers are few or hardly
 * differ (reports/calibration); where they cannot be had, those of the variances as estimated are given.
 */
export function ownChanges(
  fit: Fit,
  asked: readonly (readonly [golfer: string, combination: Combination])[],
  level: number,
): ReadonlyMap<string, OwnChange> {
  const combinations = asked.map(([, combination]) => combination);
  const averaged = averagedPredictions(fit, combinations, level);
  if (averaged !== null)
    return new Map(
      asked.map(([golfer], i) => {
        const { chanceAbove, ...estimate } = averaged[i]!;
        return [golfer, { ...effectOf({ ...estimate, degreesOfFreedom: null }), chanceAbove }];
      }),
    );
  const taken = combineAll(fit, combinations, level);
  return new Map(asked.map(([golfer], i) => [golfer, withChance(effectOf(taken[i]!))]));
}

function withChance(effect: Effect): OwnChange {
  const { value, standardError, degreesOfFreedom } = effect;
  if (value === null || standardError === null) return { ...effect, chanceAbove: null };
  return {
    ...effect,
    chanceAbove: (limit) => {
      const z = (limit - value) / standardError;
      return degreesOfFreedom === null ? normalUpper(z) : studentUpper(z, degreesOfFreedom);
    },
  };
}
