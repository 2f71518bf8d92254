import { normalQuantile, studentQuantile } from '../../numerics/index.ts';

/**
 * The smallest difference of two means of so many occasions that noise alone would pass in only 1 - level of cases:
 * t x SEM x sqrt(1 / before + 1 / after), SEM being the SD of one occasion. With one occasion each and a SEM known without
 * error this is 1.96 x sqrt 2 x SEM, the minimal detectable change (Weir 2005, J Strength Cond Res 19:231-240).
 *
 * @example detectableChange({ sem: 1, degreesOfFreedom: null, before: 1, after: 1 }) // 2.772
 */
export function detectableChange(input: {
  readonly sem: number;
  /** Of the SEM; null where it is taken as known. */
  readonly degreesOfFreedom: number | null;
  readonly before: number;
  readonly after: number;
  readonly level?: number;
}): number {
  const { sem, degreesOfFreedom, before, after, level = 0.95 } = input;
  const upper = (1 + level) / 2;
  const t = degreesOfFreedom === null ? normalQuantile(upper) : studentQuantile(upper, degreesOfFreedom);
  return t * sem * Math.sqrt(1 / before + 1 / after);
}

/**
 * The SD of one occasion around the mean of its group, pooled over groups; groups of one tell nothing. Null where
 * none has two.
 *
 * @example pooledSd([[1, 3], [5, 5, 8]]) // { sd: 1.633, degreesOfFreedom: 3 }
 */
export function pooledSd(
  groups: readonly (readonly number[])[],
): { readonly sd: number; readonly degreesOfFreedom: number } | null {
  let squares = 0;
  let degreesOfFreedom = 0;
  for (const values of groups) {
    if (values.length < 2) continue;
    const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
    for (const value of values) squares += (value - mean) ** 2;
    degreesOfFreedom += values.length - 1;
  }
  return degreesOfFreedom === 0 ? null : { sd: Math.sqrt(squares / degreesOfFreedom), degreesOfFreedom };
}
