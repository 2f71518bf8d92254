import { betaTail, logBeta } from './beta.ts';
import { requirePositive, requireProbability } from './check-arguments.ts';
import { invertTail } from './invert-tail.ts';
import { normalQuantile, normalUpper } from './normal.ts';

/**
 * P(T > t) for Student's t, computed directly. `df` need not be whole; Infinity gives the normal.
 * NaN in, NaN out.
 *
 * For t > 0 it is half of I_x(df/2, 1/2) with x = df / (df + t^2)
 * (Abramowitz & Stegun 1964, 26.7.1).
 *
 * @throws RangeError when df is not above zero
 * @example studentUpper(2.1009220402410382, 18) // 0.025
 */
export function studentUpper(t: number, df: number): number {
  requirePositive('studentUpper', { df });
  if (t < 0) return 1 - positiveUpper(-t, df);
  return positiveUpper(t, df);
}

/**
 * P(T <= t) for Student's t, computed directly; otherwise as `studentUpper`.
 *
 * @throws RangeError when df is not above zero
 * @example studentLower(-2.1009220402410382, 18) // 0.025
 */
export function studentLower(t: number, df: number): number {
  requirePositive('studentLower', { df });
  if (t > 0) return 1 - positiveUpper(t, df);
  return positiveUpper(-t, df);
}

/**
 * P(|T| > |t|): the two-sided p-value of a t statistic.
 *
 * @throws RangeError when df is not above zero
 * @example studentTwoSided(-2.1009220402410382, 18) // 0.05
 */
export function studentTwoSided(t: number, df: number): number {
  requirePositive('studentTwoSided', { df });
  return 2 * positiveUpper(Math.abs(t), df);
}

/**
 * The t below which a share p of Student's t lies. p = 0 gives -Infinity, p = 1 Infinity.
 * For a small upper tail ask `studentUpperQuantile`.
 *
 * @throws RangeError when p is outside [0, 1] or df is not above zero
 * @example studentQuantile(0.975, 18) // 2.10092204024104
 */
export function studentQuantile(p: number, df: number): number {
  requireProbability('studentQuantile', p);
  requirePositive('studentQuantile', { df });
  if (p > 0.5) return positiveQuantile(1 - p, p - 0.5, df);
  return -positiveQuantile(p, 0.5 - p, df) + 0;
}

/**
 * The t above which a share p of Student's t lies.
 *
 * @throws RangeError when p is outside [0, 1] or df is not above zero
 * @example studentUpperQuantile(0.025, 18) // 2.10092204024104
 */
export function studentUpperQuantile(p: number, df: number): number {
  requireProbability('studentUpperQuantile', p);
  requirePositive('studentUpperQuantile', { df });
  if (p > 0.5) return -positiveQuantile(1 - p, p - 0.5, df);
  return positiveQuantile(p, 0.5 - p, df);
}

/** x = df / (df + t^2) and its complement, without overflow of t^2. */
function shares(t: number, df: number): readonly [number, number] {
  const ratio = t / Math.sqrt(df);
  if (ratio > 1) {
    const inverse = 1 / ratio / ratio;
    return [inverse / (1 + inverse), 1 / (1 + inverse)];
  }
  const square = ratio * ratio;
  return [1 / (1 + square), square / (1 + square)];
}

/** log of df / (df + t^2). */
function logShare(t: number, df: number): number {
  const ratio = t / Math.sqrt(df);
  return ratio > 1e8 ? -2 * Math.log(ratio) : -Math.log1p(ratio * ratio);
}

function positiveUpper(t: number, df: number): number {
  if (df === Infinity) return normalUpper(t);
  if (Number.isNaN(t)) return Number.NaN;
  // So far out t^2 overflows, and the tail is its leading power.
  if (t / Math.sqrt(df) > 1e75)
    return 0.5 * Math.exp((df / 2) * logShare(t, df) - Math.log(df / 2) - logBeta(df / 2, 0.5));
  const [x, y] = shares(t, df);
  return 0.5 * betaTail(x, y, df / 2, 0.5, 'lower');
}

/** P(0 < T < t), with all its digits near zero. */
function positiveCentre(t: number, df: number): number {
  const [x, y] = shares(t, df);
  return 0.5 * betaTail(x, y, df / 2, 0.5, 'upper');
}

/** t > 0 with P(T > t) = upper and P(0 < T < t) = centre; whichever is the smaller of the two decides. */
function positiveQuantile(upper: number, centre: number, df: number): number {
  if (Number.isNaN(upper)) return Number.NaN;
  if (upper === 0) return Infinity;
  if (centre === 0) return 0;
  if (df === Infinity) return -normalQuantile(upper);
  const logScale = -0.5 * Math.log(df) - logBeta(df / 2, 0.5);
  const density = (t: number) => Math.exp(logScale + ((df + 1) / 2) * logShare(t, df));
  const byTail = upper < 0.25;
  return invertTail(
    (t) => ({
      probability: byTail ? positiveUpper(t, df) : positiveCentre(t, df),
      density: density(t),
    }),
    byTail ? upper : centre,
    !byTail,
    startingPoint(upper, df),
  );
}

/** Student's t from the normal quantile, by the first term of the expansion (Abramowitz & Stegun 26.7.5). */
function startingPoint(upper: number, df: number): number {
  const z = Math.abs(normalQuantile(upper));
  return z + (z * z * z + z) / (4 * df);
}
