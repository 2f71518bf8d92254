import { normalUpper, normalUpperQuantile } from '../../../numerics/index.ts';
import type { Combination, Fit } from '../contract.ts';
import { jointPrediction } from '../linear/conditional-effects.ts';
import { stateOf } from '../linear/fitted-design.ts';
import { jointWeightsOf } from './joint-weights.ts';
import { variancePosterior } from './variance-posterior.ts';

/** A prediction with what is not known of the variances in it. */
export interface AveragedPrediction {
  readonly estimate: number;
  /** Of estimate minus truth. */
  readonly standardError: number;
  /** As much of the rest lies below as above. */
  readonly interval: readonly [number, number];
  /** Probability that the truth lies above a value. */
  readonly chanceAbove: (value: number) => number;
}

/**
 * Predictions of random effects, with fixed ones, that do not take estimated variances as known: each is averaged over
 * the variances that the data allow (`variancePosterior`), so that an interval of a golfer is as wide as it has to be
 * where a variance is estimated as zero or from few golfers. Over golfers, the intervals hold the truth as often as they
 * say; one that is drawn to the group does so less often for a golfer far from it (Morris 1983, JASA 78, 47-55).
 *
 * Null where variances cannot be averaged over: no random effects, not fitted by REML, residuals that are not alike, or
 * too few rows.
 * @throws Error as `fit.combine` does
 * @example averagedPredictions(fit, [{ fixed: { intercept: 1 } }], 0.95) // null: the mean of 1, 2 and 6 has no random effects
 * @example
 * const slept = fitModel({ outcome: 'Reaction', fixed: ['intercept', { column: 'Days' }], random: [{ group: 'Subject', effects: ['intercept'] }] }, sleep);
 * const own = { fixed: {}, random: [{ group: 'Subject', level: '308', weights: { intercept: 1 } }] };
 * // lme4 1.1 predicts 40.78 ms at the variances that fit best
 * Math.abs(averagedPredictions(slept.fit, [own], 0.95)[0].estimate - 40.78) < 0.5 // true
 */
export function averagedPredictions(
  fit: Fit,
  combinations: readonly Combination[],
  level: number,
): readonly AveragedPrediction[] | null {
  const fitted = stateOf(fit);
  if (!fitted || fitted.residual || fitted.deviance.dear || fit.result.criterion.kind !== 'reml') return null;
  const { design, deviance } = fitted;
  const { system } = design.assembled;
  const asked = combinations.map((combination) => jointWeightsOf(fitted, combination));
  const views = variancePosterior(fitted, (settled) =>
    asked.map(({ weights }) => jointPrediction(system, deviance.nodes, settled, weights)),
  );
  if (views === null) return null;
  const shares = Float64Array.from(views, ({ share }) => share);
  return asked.map(({ start }, k) =>
    mixture(
      shares,
      Float64Array.from(views, ({ seen }) => start + design.outcomeScale * seen[k]!.value),
      Float64Array.from(
        views,
        ({ seen, residualVariance }) =>
          design.outcomeScale * Math.sqrt(Math.max(0, seen[k]!.variance) * residualVariance),
      ),
      level,
    ),
  );
}

/** What a mixture of normal distributions says. */
function mixture(
  shares: Float64Array,
  means: Float64Array,
  sds: Float64Array,
  level: number,
): AveragedPrediction {
  let estimate = 0;
  for (let j = 0; j < shares.length; j++) estimate += shares[j]! * means[j]!;
  let variance = 0;
  for (let j = 0; j < shares.length; j++)
    variance += shares[j]! * (sds[j]! ** 2 + (means[j]! - estimate) ** 2);
  const standardError = Math.sqrt(variance);
  const chanceAbove = (value: number): number => {
    let sum = 0;
    for (let j = 0; j < shares.length; j++)
      sum +=
        sds[j]! > 0
          ? shares[j]! * normalUpper((value - means[j]!) / sds[j]!)
          : shares[j]! * Number(means[j]! > value);
    return sum;
  };
  const tail = (1 - level) / 2;
  const reach = normalUpperQuantile(tail) * standardError;
  return {
    estimate,
    standardError,
    interval: [
      crossing(chanceAbove, 1 - tail, estimate - reach, standardError),
      crossing(chanceAbove, tail, estimate + reach, standardError),
    ],
    chanceAbove,
  };
}

/** Where a falling function takes a value: by halving a bracket with the secant, to a millionth of `unit`. */
function crossing(falling: (x: number) => number, wanted: number, guess: number, unit: number): number {
  if (!(unit > 0)) return guess;
  let low = guess - unit / 4;
  let high = guess + unit / 4;
  let atLow = falling(low) - wanted;
  while (atLow < 0) {
    low -= unit;
    atLow = falling(low) - wanted;
  }
  let atHigh = falling(high) - wanted;
  while (atHigh > 0) {
    high += unit;
    atHigh = falling(high) - wanted;
  }
  let side = 0;
  for (let round = 0; round < 60 && high - low > 1e-6 * unit; round++) {
    // Regula falsi with the Illinois correction (Dowell and Jarratt 1971, BIT 11, 168-174).
    const next = (low * atHigh - high * atLow) / (atHigh - atLow);
    const there = falling(next) - wanted;
    if (Math.abs(there) < 1e-7) return next;
    if (there > 0) {
      low = next;
      atLow = there;
      if (side === 1) atHigh /= 2;
      side = 1;
    } else {
      high = next;
      atHigh = there;
      if (side === -1) atLow /= 2;
      side = -1;
    }
  }
  return (low + high) / 2;
}
