import { betaTail, logBeta } from './beta.ts';
import { requirePositive, requireProbability } from './check-arguments.ts';
import {
  chiSquaredLower,
  chiSquaredQuantile,
  chiSquaredUpper,
  chiSquaredUpperQuantile,
} from './chi-squared.ts';
import { invertTail } from './invert-tail.ts';

/**
 * P(F <= f) for the F distribution. Degrees of freedom need not be whole, and either may be Infinity.
 * Negative f gives 0; NaN in, NaN out.
 *
 * It is I_x(d1/2, d2/2) with x = d1 f / (d1 f + d2) (Abramowitz & Stegun 1964, 26.6.2).
 *
 * @throws RangeError when a degrees of freedom is not above zero
 * @example fLower(4.413873419170566, 1, 18) // 0.95
 */
export function fLower(f: number, numeratorDf: number, denominatorDf: number): number {
  requirePositive('fLower', { numeratorDf, denominatorDf });
  return tail(f, numeratorDf, denominatorDf, 'lower');
}

/**
 * P(F > f), the p-value of an F statistic, computed directly; otherwise as `fLower`.
 *
 * @throws RangeError when a degrees of freedom is not above zero
 * @example fUpper(4.413873419170566, 1, 18) // 0.05
 */
export function fUpper(f: number, numeratorDf: number, denominatorDf: number): number {
  requirePositive('fUpper', { numeratorDf, denominatorDf });
  return tail(f, numeratorDf, denominatorDf, 'upper');
}

/**
 * The f below which a share p of the F distribution lies.
 *
 * @throws RangeError when p is outside [0, 1] or a degrees of freedom is not above zero
 * @example fQuantile(0.95, 1, 18) // 4.41387341917057
 */
export function fQuantile(p: number, numeratorDf: number, denominatorDf: number): number {
  requireProbability('fQuantile', p);
  requirePositive('fQuantile', { numeratorDf, denominatorDf });
  return quantile(p, 1 - p, numeratorDf, denominatorDf);
}

/**
 * The f above which a share p of the F distribution lies.
 *
 * @throws RangeError when p is outside [0, 1] or a degrees of freedom is not above zero
 * @example fUpperQuantile(0.05, 1, 18) // 4.41387341917057
 */
export function fUpperQuantile(p: number, numeratorDf: number, denominatorDf: number): number {
  requireProbability('fUpperQuantile', p);
  requirePositive('fUpperQuantile', { numeratorDf, denominatorDf });
  return quantile(1 - p, p, numeratorDf, denominatorDf);
}

function tail(f: number, d1: number, d2: number, which: 'lower' | 'upper'): number {
  if (Number.isNaN(f)) return f;
  if (f <= 0) return which === 'lower' ? 0 : 1;
  if (f === Infinity) return which === 'lower' ? 1 : 0;
  if (d1 === Infinity && d2 === Infinity) {
    if (f === 1) return 0.5;
    return f < 1 === (which === 'lower') ? 0 : 1;
  }
  const chi = which === 'lower' ? chiSquaredLower : chiSquaredUpper;
  if (d2 === Infinity) return chi(d1 * f, d1);
  if (d1 === Infinity) return which === 'lower' ? chiSquaredUpper(d2 / f, d2) : chiSquaredLower(d2 / f, d2);
  const odds = (d1 / d2) * f;
  if (odds > 1) return betaTail(1 / (1 + 1 / odds), 1 / odds / (1 + 1 / odds), d1 / 2, d2 / 2, which);
  return betaTail(odds / (1 + odds), 1 / (1 + odds), d1 / 2, d2 / 2, which);
}

function quantile(lower: number, upper: number, d1: number, d2: number): number {
  if (Number.isNaN(lower)) return Number.NaN;
  if (lower === 0) return 0;
  if (upper === 0) return Infinity;
  if (d1 === Infinity && d2 === Infinity) return 1;
  if (d2 === Infinity)
    return (lower < upper ? chiSquaredQuantile(lower, d1) : chiSquaredUpperQuantile(upper, d1)) / d1;
  if (d1 === Infinity)
    return d2 / (lower < upper ? chiSquaredUpperQuantile(lower, d2) : chiSquaredQuantile(upper, d2));
  const logRatio = Math.log(d1 / d2);
  const logScale = (d1 / 2) * logRatio - logBeta(d1 / 2, d2 / 2);
  const density = (f: number) =>
    Math.exp(
      logScale + (d1 / 2 - 1) * Math.log(f) - ((d1 + d2) / 2) * Math.log1p(Math.exp(logRatio + Math.log(f))),
    );
  const which = lower < upper ? 'lower' : 'upper';
  return invertTail(
    (f) => ({ probability: tail(f, d1, d2, which), density: density(f) }),
    Math.min(lower, upper),
    which === 'lower',
    1,
  );
}
