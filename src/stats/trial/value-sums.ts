/** What a normal model takes from values in a group: how many, their mean, and how they scatter about it. */
export interface ValueSums {
  readonly count: number;
  readonly mean: number;
  /** Sum of the squares of the departures from the mean. */
  readonly squares: number;
  readonly least: number;
  readonly most: number;
}

/**
 * Sums of values, in two passes so that a large mean does not cost digits.
 *
 * @throws Error when there are no values
 * @example valueSums([1, 2, 6]) // { count: 3, mean: 3, squares: 14, least: 1, most: 6 }
 */
export function valueSums(values: ArrayLike<number>): ValueSums {
  const count = values.length;
  if (count === 0) throw new Error('valueSums: no values; leave empty groups out');
  let [sum, least, most] = [0, values[0]!, values[0]!];
  for (let i = 0; i < count; i++) {
    const value = values[i]!;
    sum += value;
    if (value < least) least = value;
    if (value > most) most = value;
  }
  const mean = sum / count;
  let squares = 0;
  for (let i = 0; i < count; i++) squares += (values[i]! - mean) ** 2;
  return { count, mean, squares, least, most };
}

/**
 * The sums of several groups as one: squares inside the groups and between their means (Chan, Golub and LeVeque 1983,
 * The American Statistician 37:242-247).
 *
 * @throws Error when there are no groups
 * @example joinedSums([valueSums([1, 2, 6]), valueSums([3, 8])]) // { count: 5, mean: 4, squares: 34, least: 1, most: 8 }
 */
export function joinedSums(groups: readonly ValueSums[]): ValueSums {
  if (groups.length === 0) throw new Error('joinedSums: no groups; leave empty ones out');
  let [count, sum, least, most] = [0, 0, groups[0]!.least, groups[0]!.most];
  for (const group of groups) {
    count += group.count;
    sum += group.count * group.mean;
    least = Math.min(least, group.least);
    most = Math.max(most, group.most);
  }
  const mean = sum / count;
  let squares = 0;
  for (const group of groups) squares += group.squares + group.count * (group.mean - mean) ** 2;
  return { count, mean, squares, least, most };
}
