import betainc from '@stdlib/math-base-special-betainc';
import gammaln from '@stdlib/math-base-special-gammaln';

/**
 * One tail of the beta distribution, the regularised incomplete beta function, where `x` and its complement
 * `y` = 1 - x are both given: whichever of the two is small is used, so that nothing is lost near 0 or 1.
 */
export function betaTail(x: number, y: number, a: number, b: number, tail: 'lower' | 'upper'): number {
  const upper = tail === 'upper';
  // The arcsine law in closed form: the library's own shortcut for it loses digits near 0 and 1.
  if (a === 0.5 && b === 0.5)
    return (
      (2 / Math.PI) *
      (upper ? Math.atan2(Math.sqrt(y), Math.sqrt(x)) : Math.atan2(Math.sqrt(x), Math.sqrt(y)))
    );
  return x <= y ? betainc(x, a, b, true, upper) : betainc(y, b, a, true, !upper);
}

/** log of B(a, b). */
export function logBeta(a: number, b: number): number {
  return gammaln(a) + gammaln(b) - gammaln(a + b);
}
