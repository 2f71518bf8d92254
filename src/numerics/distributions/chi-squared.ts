import gammainc from '@stdlib/math-base-special-gammainc';
import gammaln from '@stdlib/math-base-special-gammaln';
import { requirePositive, requireProbability } from './check-arguments.ts';
import { invertTail } from './invert-tail.ts';
import { normalQuantile } from './normal.ts';

/**
 * P(X <= x) for chi-squared. `df` need not be whole. Negative x gives 0; NaN in, NaN out.
 *
 * It is the regularised incomplete gamma function P(df/2, x/2) (Abramowitz & Stegun 1964, 26.4.19).
 *
 * @throws RangeError when df is not above zero
 * @example chiSquaredLower(3.841458820694124, 1) // 0.95
 */
export function chiSquaredLower(x: number, df: number): number {
  requirePositive('chiSquaredLower', { df });
  if (x <= 0) return 0;
  return x === Infinity ? 1 : gammainc(x / 2, df / 2, true, false);
}

/**
 * P(X > x), the p-value of a chi-squared statistic, computed directly; otherwise as `chiSquaredLower`.
 *
 * @throws RangeError when df is not above zero
 * @example chiSquaredUpper(3.841458820694124, 1) // 0.05
 */
export function chiSquaredUpper(x: number, df: number): number {
  requirePositive('chiSquaredUpper', { df });
  if (x <= 0) return 1;
  return x === Infinity ? 0 : gammainc(x / 2, df / 2, true, true);
}

/**
 * The x below which a share p of chi-squared lies.
 *
 * @throws RangeError when p is outside [0, 1] or df is not above zero
 * @example chiSquaredQuantile(0.95, 1) // 3.8414588206941
 */
export function chiSquaredQuantile(p: number, df: number): number {
  requireProbability('chiSquaredQuantile', p);
  requirePositive('chiSquaredQuantile', { df });
  return quantile(p, 1 - p, df);
}

/**
 * The x above which a share p of chi-squared lies.
 *
 * @throws RangeError when p is outside [0, 1] or df is not above zero
 * @example chiSquaredUpperQuantile(0.05, 1) // 3.8414588206941
 */
export function chiSquaredUpperQuantile(p: number, df: number): number {
  requireProbability('chiSquaredUpperQuantile', p);
  requirePositive('chiSquaredUpperQuantile', { df });
  return quantile(1 - p, p, df);
}

function quantile(lower: number, upper: number, df: number): number {
  if (Number.isNaN(lower)) return Number.NaN;
  if (lower === 0) return 0;
  if (upper === 0) return Infinity;
  const half = df / 2;
  const logScale = -half * Math.LN2 - gammaln(half);
  const byLower = lower < upper;
  return invertTail(
    (x) => ({
      probability: gammainc(x / 2, half, true, !byLower),
      density: Math.exp(logScale + (half - 1) * Math.log(x) - x / 2),
    }),
    Math.min(lower, upper),
    byLower,
    startingPoint(lower, upper, df),
  );
}

/** Wilson and Hilferty's cube-root approximation (Proc Natl Acad Sci 1931;17:684-688), or the power law near zero. */
function startingPoint(lower: number, upper: number, df: number): number {
  const z = lower < upper ? normalQuantile(lower) : -normalQuantile(upper);
  const root = 1 - 2 / (9 * df) + z * Math.sqrt(2 / (9 * df));
  if (root > 0.3) return df * root ** 3;
  return 2 * Math.exp((2 / df) * (Math.log(lower) + gammaln(df / 2 + 1)));
}
