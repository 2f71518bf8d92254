import { studentQuantile } from '../../../numerics/index.ts';

/** A number with what is known of its error; interval null where there is none. */
export interface Found {
  readonly value: number;
  readonly standardError: number;
  /** Null for a normal interval. */
  readonly degreesOfFreedom: number | null;
  readonly interval: readonly [number, number] | null;
}

/** An estimate with Student's interval (normal where the degrees of freedom are null). */
export function found(
  value: number,
  standardError: number,
  degreesOfFreedom: number | null,
  level: number,
): Found {
  const quantile = studentQuantile((1 + level) / 2, degreesOfFreedom ?? Number.POSITIVE_INFINITY);
  const half = quantile * standardError;
  const usable = Number.isFinite(half) && Number.isFinite(value);
  return { value, standardError, degreesOfFreedom, interval: usable ? [value - half, value + half] : null };
}

/** The estimate times a constant; a negative one turns the interval over. */
export function times(estimate: Found, factor: number): Found {
  const { value, standardError, degreesOfFreedom, interval } = estimate;
  return {
    value: value * factor,
    standardError: standardError * Math.abs(factor),
    degreesOfFreedom,
    interval: interval === null ? null : turned([interval[0] * factor, interval[1] * factor]),
  };
}

function turned([low, high]: readonly [number, number]): [number, number] {
  return low <= high ? [low, high] : [high, low];
}

/** A slope divided by the true share of its predictor's variance, the uncertainty of that share included (first order). */
export function unattenuated(
  slope: Found,
  reliability: { readonly share: number; readonly standardError: number },
  level: number,
): Found {
  const { share, standardError } = reliability;
  const value = slope.value / share;
  const error = Math.hypot(slope.standardError / share, (value / share) * standardError);
  return found(value, error, slope.degreesOfFreedom, level);
}
