import { chiSquaredUpper } from '../../numerics/index.ts';

/**
 * Bartlett's test that groups vary alike, from their variances and degrees of freedom. It takes values to be normal: heavy
 * tails look to it like unequal spreads. Groups without a variance above 0 are left out; null where fewer than two stay.
 *
 * Source: Bartlett 1937, Proc R Soc A 160:268-282.
 *
 * @example
 * equalVariances([{ variance: 4, degreesOfFreedom: 9 }, { variance: 1, degreesOfFreedom: 9 }])
 * // { chiSquared: 3.8052, degreesOfFreedom: 1, pValue: 0.0511 }
 */
export function equalVariances(
  groups: readonly { readonly variance: number; readonly degreesOfFreedom: number }[],
): { readonly chiSquared: number; readonly degreesOfFreedom: number; readonly pValue: number } | null {
  const telling = groups.filter(({ variance, degreesOfFreedom }) => variance > 0 && degreesOfFreedom > 0);
  const k = telling.length;
  if (k < 2) return null;
  let whole = 0;
  let squares = 0;
  let logs = 0;
  let shares = 0;
  for (const { variance, degreesOfFreedom: df } of telling) {
    whole += df;
    squares += df * variance;
    logs += df * Math.log(variance);
    shares += 1 / df;
  }
  const correction = 1 + (shares - 1 / whole) / (3 * (k - 1));
  const chiSquared = Math.max(0, (whole * Math.log(squares / whole) - logs) / correction);
  return { chiSquared, degreesOfFreedom: k - 1, pValue: chiSquaredUpper(chiSquared, k - 1) };
}
