/** All that a model of groups needs of the rows of one group. */
export interface GroupSums {
  readonly name: string;
  /** Rows in the group. */
  readonly size: number;
  /** X'X of the group, row by row, p x p; the first column of X is the intercept. */
  readonly xx: Float64Array;
  /** X'y of the group. */
  readonly xy: Float64Array;
  /** y'y of the group. */
  readonly yy: number;
}

/**
 * The sums of each group, in the order in which groups appear.
 *
 * @param rows one value, its group and its predictors (without the intercept) each
 * @throws Error when rows differ in their number of predictors, or a number is not finite
 * @example groupSums([{ group: 'I1', value: 2, predictors: [] }, { group: 'I1', value: 4, predictors: [] }])[0]?.xy[0] // 6
 */
export function groupSums(
  rows: readonly { readonly group: string; readonly value: number; readonly predictors: readonly number[] }[],
): GroupSums[] {
  const p = 1 + (rows[0]?.predictors.length ?? 0);
  const sums = new Map<string, { size: number; xx: Float64Array; xy: Float64Array; yy: number }>();
  for (const { group, value, predictors } of rows) {
    const x = [1, ...predictors];
    if (x.length !== p) throw new Error('groupSums: every row needs the same number of predictors');
    if (![value, ...x].every(Number.isFinite))
      throw new Error('groupSums: every number must be finite; leave incomplete rows out first');
    const own = sums.get(group) ?? {
      size: 0,
      xx: new Float64Array(p * p),
      xy: new Float64Array(p),
      yy: 0,
    };
    own.size += 1;
    own.yy += value * value;
    for (let i = 0; i < p; i++) {
      own.xy[i]! += x[i]! * value;
      for (let j = 0; j < p; j++) own.xx[i * p + j]! += x[i]! * x[j]!;
    }
    sums.set(group, own);
  }
  return [...sums].map(([name, own]) => ({ name, ...own }));
}
