import gammaln from '@stdlib/math-base-special-gammaln';

/**
 * log(n!) of a whole number n >= 0.
 * @example Math.exp(logFactorial(3)) // 6
 */
export function logFactorial(n: number): number {
  return n < 2 ? 0 : gammaln(n + 1);
}
