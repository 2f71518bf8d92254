import {
  choleskyInPlace,
  logDeterminantOfFactor,
  solveLower,
  solveLowerTransposed,
} from '../../numerics/index.ts';
import type { GroupSums } from './group-sums.ts';

/** The random-intercept model at one ratio of variances lambda = (SD between)^2 / (SD within)^2. */
export interface AtRatio {
  readonly lambda: number;
  /** Fixed effects by generalised least squares. */
  readonly fixed: Float64Array;
  /** Cholesky factor of sum X'V^-1 X (times the variance within). */
  readonly factor: Float64Array;
  /** Residual sum of squares in the metric of V. */
  readonly rss: number;
  /** log |V / variance within|. */
  readonly logDeterminant: number;
  /** log |sum X' V^-1 X|. */
  readonly logInformation: number;
}

/**
 * With V = s^2 (I + lambda 11'), V^-1 = s^-2 (I - lambda/(1 + n lambda) 11') in each group (Searle, Casella and
 * McCulloch 1992, Variance Components, appendix M), so that one group costs p^2 whatever its size. Null where the
 * predictors are not independent of one another.
 */
export function atRatio(groups: readonly GroupSums[], lambda: number): AtRatio | null {
  const p = groups[0]!.xy.length;
  const information = new Float64Array(p * p);
  const fixed = new Float64Array(p);
  let square = 0;
  let logDeterminant = 0;
  for (const { size, xx, xy, yy } of groups) {
    const w = lambda / (1 + size * lambda);
    const total = xy[0]!;
    for (let i = 0; i < p; i++) {
      const si = xx[i]!;
      fixed[i]! += xy[i]! - w * si * total;
      for (let j = 0; j < p; j++) information[i * p + j]! += xx[i * p + j]! - w * si * xx[j]!;
    }
    square += yy - w * total * total;
    logDeterminant += Math.log1p(size * lambda);
  }
  if (!choleskyInPlace(information, p)) return null;
  solveLower(information, p, fixed);
  let explained = 0;
  for (let i = 0; i < p; i++) explained += fixed[i]! * fixed[i]!;
  solveLowerTransposed(information, p, fixed);
  return {
    lambda,
    fixed,
    factor: information,
    rss: square - explained,
    logDeterminant,
    logInformation: logDeterminantOfFactor(information, p),
  };
}
