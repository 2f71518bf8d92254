import gammaln from '@stdlib/math-base-special-gammaln';
import { integrateLine } from '../integrate/integrate-line.ts';

/**
 * The mean of a tail probability g(s) over s = sqrt(chi-squared(df) / df), the ratio of an estimated SD to the
 * true one; g itself where df is Infinity. g must fall as s grows from g(0) <= 1.
 */
export function overPooledSd(g: (s: number) => number, df: number): number {
  if (df === Infinity) return g(1);
  const half = df / 2;
  // Density of u = log s: 2 (df / 2)^(df / 2) / Gamma(df / 2) exp(df u - df e^(2u) / 2), its logarithm kept
  // free of overflow.
  const constant = Math.LN2 + half * Math.log(half) - half - gammaln(half);
  return integrateLine(
    (u) => {
      const density = Math.exp(constant + half * (2 * u - Math.expm1(2 * u)));
      return density > 0 ? density * g(Math.exp(u)) : 0;
    },
    0,
    1 / Math.sqrt(2 * df),
  );
}
