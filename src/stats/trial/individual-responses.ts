import { normalQuantile } from '../../numerics/index.ts';

/** SDs of the observed changes in two groups, in the unit of the change, and what of them is noise. */
export interface ResponseSpreadInput {
  /** SD of the observed changes in the treated group and in its control. */
  readonly sdTreated: number;
  readonly nTreated: number;
  readonly sdControl: number;
  readonly nControl: number;
  /**
   * Variance of a change that is known to be measurement noise, by group. Noise that is alike in both groups
   * cancels; give it where it differs, such as with more swings per visit in one group. Default 0.
   */
  readonly noiseTreated?: number;
  readonly noiseControl?: number;
  readonly level?: number;
}

/** How much true responses differ from one to another, in the unit of the change. */
export interface ResponseSpread {
  /** SD of true individual responses; negative when the control's changes vary more. */
  readonly sd: number;
  readonly interval: readonly [number, number];
  /** The difference of variances behind it, and its standard error. */
  readonly variance: number;
  readonly standardError: number;
}

/**
 * SD of true individual responses: how much golfers (or any units) differ in what a treatment does to them,
 * beyond what changes vary without it.
 *
 * variance = (SDt^2 - noise_t) - (SDc^2 - noise_c), se = sqrt(2 (SDt^4 / dft + SDc^4 / dfc)), a normal interval
 * for the variance, then the signed square root of each. A negative value is kept: it says that there is no
 * evidence of differing responses. Source: Atkinson and Batterham 2015, Exp Physiol 100:577-588; Hopkins 2015,
 * J Appl Physiol 118:1444-1446.
 *
 * @throws Error when a group has fewer than two members or an SD is negative or not finite
 * @example responseSpread({ sdTreated: 6, nTreated: 20, sdControl: 4, nControl: 20 }) // { sd: 4.472, interval: [-2.25, 6.71], ... }
 */
export function responseSpread(input: ResponseSpreadInput): ResponseSpread {
  const {
    sdTreated,
    nTreated,
    sdControl,
    nControl,
    noiseTreated = 0,
    noiseControl = 0,
    level = 0.95,
  } = input;
  if (!(nTreated >= 2 && nControl >= 2))
    throw new Error(
      `responseSpread: needs at least 2 changes in each group, got ${nTreated} and ${nControl}; leave it out for smaller groups.`,
    );
  if (!(sdTreated >= 0 && sdControl >= 0 && Number.isFinite(sdTreated + sdControl)))
    throw new Error('responseSpread: both SDs must be finite and not negative; pass the SD of the changes.');
  const variance = sdTreated ** 2 - noiseTreated - (sdControl ** 2 - noiseControl);
  const standardError = Math.sqrt(2 * (sdTreated ** 4 / (nTreated - 1) + sdControl ** 4 / (nControl - 1)));
  const half = normalQuantile((1 + level) / 2) * standardError;
  return {
    sd: signedRoot(variance),
    interval: [signedRoot(variance - half), signedRoot(variance + half)],
    variance,
    standardError,
  };
}

function signedRoot(value: number): number {
  return Math.sign(value) * Math.sqrt(Math.abs(value));
}
