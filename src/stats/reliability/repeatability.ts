import { checkValues } from './check-values.ts';
import type { LimitsOptions } from './limits-of-agreement.ts';

/**
 * Coefficient of repeatability of one method from two readings of each unit: the size that the difference of two readings
 * stays below in about 95 % of cases, 2 sqrt(mean d^2) (Bland and Altman 1986; 1.96 in place of 2 since 1999), and the
 * SD within a unit, sqrt(mean d^2 / 2). Null without a pair.
 *
 * @example repeatability([[494, 490], [395, 397]], { multiplier: 2 }).coefficient // 6.3246
 */
export function repeatability(
  pairs: readonly (readonly [number, number])[],
  { multiplier = 1.96 }: Pick<LimitsOptions, 'multiplier'> = {},
): { readonly coefficient: number; readonly withinSd: number } | null {
  checkValues('repeatability', pairs.flat(), 0.95);
  if (pairs.length === 0) return null;
  const meanSquare = pairs.reduce((sum, [a, b]) => sum + (a - b) ** 2, 0) / pairs.length;
  return { coefficient: multiplier * Math.sqrt(meanSquare), withinSd: Math.sqrt(meanSquare / 2) };
}
