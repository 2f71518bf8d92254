import { integrateLine } from '../integrate/integrate-line.ts';
import { requirePositive, requireProbability } from './check-arguments.ts';
import { invertTail } from './invert-tail.ts';
import { normalDensity, normalUpper } from './normal.ts';
import { overPooledSd } from './over-pooled-sd.ts';
import { withSlope } from './with-slope.ts';

/**
 * P(Q > q) for the studentized range: the range of `groups` independent standard normals over an independent
 * estimate of their SD with `df` degrees of freedom (not necessarily whole; Infinity for a known SD). Good to about
 * 12 digits in both tails: the complement is integrated directly,
 *   P(W > w) = r int phi(z) { Phi(-z)^(r-1) - [Phi(-z) - Phi(-z-w)]^(r-1) } dz,
 * z being the smallest of the r, and then averaged over the estimated SD; every term is positive.
 *
 * @throws RangeError when df is not above zero or groups is not a whole number of at least 2
 * @see Tukey JW (1953), The problem of multiple comparisons; Lund RE, Lund JR (1983), Appl Stat 32, 204-210.
 * @example studentizedRangeUpper(3.8767767500131722, 3, 10) // 0.05
 */
export function studentizedRangeUpper(q: number, groups: number, df: number): number {
  requirePositive('studentizedRangeUpper', { df });
  requireGroups('studentizedRangeUpper', groups);
  if (Number.isNaN(q)) return q;
  if (q <= 0) return 1;
  if (q === Infinity) return 0;
  return Math.min(
    1,
    overPooledSd((s) => rangeUpper(q * s, groups), df),
  );
}

/**
 * The q above which a share p of the studentized range lies.
 *
 * @throws RangeError when p is outside [0, 1], df is not above zero or groups is not a whole number of at least 2
 * @example studentizedRangeUpperQuantile(0.05, 3, 10) // 3.87677675001
 */
export function studentizedRangeUpperQuantile(p: number, groups: number, df: number): number {
  requireProbability('studentizedRangeUpperQuantile', p);
  requirePositive('studentizedRangeUpperQuantile', { df });
  requireGroups('studentizedRangeUpperQuantile', groups);
  if (Number.isNaN(p)) return p;
  if (p === 0) return Infinity;
  if (p === 1) return 0;
  return invertTail(
    withSlope((q) => studentizedRangeUpper(q, groups, df)),
    p,
    false,
    3,
    1e-12,
  );
}

/** P(W > w) for the range W of r standard normals. */
function rangeUpper(w: number, r: number): number {
  if (w <= 0) return 1;
  const others = r - 1;
  return integrateLine(
    (z) => {
      const above = normalUpper(z);
      const beyond = normalUpper(z + w);
      if (above === 0) return 0;
      // above^(r-1) - (above - beyond)^(r-1), without subtracting.
      return (
        r *
        normalDensity(z) *
        above ** others *
        -Math.expm1(others * Math.log1p(-Math.min(1, beyond / above)))
      );
    },
    -w / 2,
    1,
  );
}

function requireGroups(caller: string, groups: number): void {
  if (!Number.isSafeInteger(groups) || groups < 2)
    throw new RangeError(`${caller}: groups must be a whole number of at least 2; found ${groups}.`);
}
