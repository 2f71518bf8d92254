import { normalQuantile } from '../../numerics/index.ts';

/**
 * The E-value of a risk ratio: how strongly (as a risk ratio each) an unmeasured cause would have to go with both the
 * predictor and the outcome to explain the ratio away: RR + sqrt(RR (RR - 1)); a ratio below 1 is turned over first.
 *
 * Source: VanderWeele and Ding 2017, Ann Intern Med 167:268-274.
 *
 * @throws Error when the ratio is not above zero
 * @example eValue(3.9) // 7.26
 */
export function eValue(riskRatio: number): number {
  if (!(riskRatio > 0)) throw new Error(`eValue: a risk ratio is above zero; found ${riskRatio}`);
  const ratio = riskRatio < 1 ? 1 / riskRatio : riskRatio;
  return ratio + Math.sqrt(ratio * (ratio - 1));
}

/**
 * The E-value of a standardised difference: how strongly an unmeasured cause would have to hang together with both
 * sides, as risk ratios.
 */
export interface StandardisedEValue {
  readonly riskRatio: number;
  readonly estimate: number;
  /** Of the end of the interval that is nearer to none; 1 where the interval holds none. */
  readonly interval: number;
}

/**
 * The E-value of a difference in units of the outcome's SD: the risk ratio is about exp(0.91 d), its interval
 * exp(0.91 d -/+ 1.78 se) at 95% (VanderWeele and Ding 2017, table 2; Chinn 2000, Stat Med 19:3127-3131). It is an
 * approximation that cuts the outcome into high and low.
 *
 * @example standardisedEValue(0.5, 0.1).estimate // 2.53
 */
export function standardisedEValue(
  difference: number,
  standardError: number,
  level = 0.95,
): StandardisedEValue {
  const half = 0.91 * normalQuantile((1 + level) / 2) * standardError;
  const near = Math.max(0, Math.abs(0.91 * difference) - half);
  const riskRatio = Math.exp(0.91 * difference);
  return { riskRatio, estimate: eValue(riskRatio), interval: eValue(Math.exp(near)) };
}
