import { studentQuantile } from '../../numerics/index.ts';

/**
 * How strong an unmeasured cause must be to take away a share of a slope: the part of the variance, left over by what is
 * in the model, that it would have to explain both of the predictor and of the outcome. With f^2 = R^2 / (1 - R^2) of the
 * predictor's partial R^2 and q the share, RV = (sqrt((q f)^4 + 4 (q f)^2) - (q f)^2) / 2.
 *
 * Source: Cinelli and Hazlett 2020, J R Stat Soc B 82:39-67, section 4.2.
 *
 * @param partialR2 of the outcome on the predictor, given the rest of the model, 0..1
 * @param share of the slope that is taken away, above 0; 1 brings it to zero
 * @throws Error when the partial R^2 is not inside 0..1 or the share not above zero
 * @example robustnessValue(0.02187309) // 0.1388
 */
export function robustnessValue(partialR2: number, share = 1): number {
  if (!(partialR2 >= 0 && partialR2 <= 1))
    throw new Error(`robustnessValue: the partial R2 must lie in 0..1; found ${partialR2}`);
  if (!(share > 0)) throw new Error(`robustnessValue: the share must be above zero; found ${share}`);
  if (partialR2 === 1) return 1;
  return fromF(share * Math.sqrt(partialR2 / (1 - partialR2)));
}

/** The same for an f already reduced; where f exceeds 1 the formula still gives a share below 1. */
function fromF(f: number): number {
  if (f <= 0) return 0;
  return (Math.sqrt(f ** 4 + 4 * f ** 2) - f ** 2) / 2;
}

/**
 * The partial R^2 behind a t statistic: t^2 / (t^2 + df).
 * @throws Error when the degrees of freedom are not above zero
 * @example partialR2(2, 12) // 0.25
 */
export function partialR2(t: number, degreesOfFreedom: number): number {
  if (!(degreesOfFreedom > 0))
    throw new Error(`partialR2: the degrees of freedom must be above zero; found ${degreesOfFreedom}`);
  return (t * t) / (t * t + degreesOfFreedom);
}

/**
 * How strong an unmeasured cause must be for the interval of a least-squares slope to reach zero: as `robustnessValue`,
 * with f less what the interval needs, f* = t(level) / sqrt(df - 1); 0 where the interval reaches zero already.
 *
 * Source: Cinelli and Hazlett 2020, section 4.2.
 *
 * @param level of the interval, such as 0.95
 * @example robustnessOfInterval(4.18445, 783) // 0.07626
 */
export function robustnessOfInterval(t: number, degreesOfFreedom: number, level = 0.95, share = 1): number {
  const f = share * Math.sqrt(partialR2(t, degreesOfFreedom) / (1 - partialR2(t, degreesOfFreedom)));
  const needed = studentQuantile((1 + level) / 2, degreesOfFreedom - 1) / Math.sqrt(degreesOfFreedom - 1);
  const left = f - needed;
  if (left <= 0) return 0;
  // Where the cause may explain all of the outcome's variance and still not suffice, its share of the predictor counts.
  if (left > 0 && f > 1 / needed) return (f * f - needed * needed) / (1 + f * f);
  return fromF(left);
}

/** How strong a supposed unmeasured cause is, as shares of variance from 0 to 1. */
export interface UnmeasuredCause {
  /** Share of the predictor's leftover variance that it explains, and of the outcome's. */
  readonly ofPredictor: number;
  readonly ofOutcome: number;
}

/**
 * The slope and standard error that least squares would have given with an unmeasured cause of this strength in the
 * model, if it works towards zero: |bias| = se sqrt(df) sqrt(R2y R2x / (1 - R2x)),
 * se' = se sqrt((1 - R2y) / (1 - R2x)) sqrt(df / (df - 1)).
 *
 * Source: Cinelli and Hazlett 2020, equations 7 and 8.
 *
 * @throws Error when a share is not inside 0..1, or that of the predictor is 1
 * @example
 * const found = { slope: 0.09731582, standardError: 0.02325654, degreesOfFreedom: 783 };
 * withUnmeasured(found, { ofPredictor: 0.00916429, ofOutcome: 0.12464092 }) // { slope: 0.0752, standardError: 0.0219, ... }
 */
export function withUnmeasured(
  found: { readonly slope: number; readonly standardError: number; readonly degreesOfFreedom: number },
  { ofPredictor, ofOutcome }: UnmeasuredCause,
): { readonly slope: number; readonly standardError: number } {
  if (!(ofPredictor >= 0 && ofPredictor < 1 && ofOutcome >= 0 && ofOutcome <= 1))
    throw new Error('withUnmeasured: shares of variance lie in 0..1, that of the predictor below 1');
  const { slope, standardError, degreesOfFreedom: df } = found;
  const bias = standardError * Math.sqrt(df) * Math.sqrt((ofOutcome * ofPredictor) / (1 - ofPredictor));
  return {
    slope: Math.sign(slope) * (Math.abs(slope) - bias),
    standardError: standardError * Math.sqrt((1 - ofOutcome) / (1 - ofPredictor)) * Math.sqrt(df / (df - 1)),
  };
}

/**
 * The strength of a cause `times` as strong as a measured one, from what the measured one explains of the predictor (given
 * the other covariates) and of the outcome (given those and the predictor); null where no such cause is possible.
 *
 * Source: Cinelli and Hazlett 2020, section 4.4 (bounds for one benchmark covariate); the example is theirs.
 *
 * @example
 * const female = { ofPredictor: 0.009081065, ofOutcome: 0.10903390 };
 * asStrongAs(female, 3) // { ofPredictor: 0.02749, ofOutcome: 0.3741 }
 * asStrongAs({ ofPredictor: 0.6, ofOutcome: 0.1 }) // null
 */
export function asStrongAs(measured: UnmeasuredCause, times = 1): UnmeasuredCause | null {
  const { ofPredictor, ofOutcome } = measured;
  const predictor = (times * ofPredictor) / (1 - ofPredictor);
  if (!(predictor < 1) || !(times * ofPredictor < 1)) return null;
  const among = (times * ofPredictor ** 2) / ((1 - times * ofPredictor) * (1 - ofPredictor));
  if (among >= 1) return null;
  const eta = (Math.sqrt(times) + Math.sqrt(among)) / Math.sqrt(1 - among);
  return { ofPredictor: predictor, ofOutcome: Math.min(1, (eta ** 2 * ofOutcome) / (1 - ofOutcome)) };
}
