/**
 * The middle value; the mean of the middle two when the count is even; null when there are none. The values are
 * left as they are.
 *
 * @example median([3, 1, 2, 10]) // 2.5
 */
export function median(values: ArrayLike<number>): number | null {
  return medianInPlace(Float64Array.from(values));
}

/**
 * The lower of the middle values, so that it is always one of them: a count stays a count. Null when there are none.
 *
 * @example lowerMedian([3, 1, 2, 10]) // 2
 */
export function lowerMedian(values: ArrayLike<number>): number | null {
  const moved = Float64Array.from(values);
  return moved.length === 0 ? null : selectInPlace(moved, Math.floor((moved.length - 1) / 2));
}

/**
 * The median of values that may be moved about, none of them NaN: by selection, which looks at each value a few times
 * where sorting looks at each log n times.
 *
 * @see Hoare CAR (1961) Algorithm 65: Find. Comm ACM 4:321-322
 * @example medianInPlace(Float64Array.of(3, 1, 2, 10)) // 2.5
 */
export function medianInPlace(values: Float64Array): number | null {
  const count = values.length;
  if (count === 0) return null;
  const middle = count >> 1;
  const upper = selectInPlace(values, middle);
  if (count % 2 === 1) return upper;
  let lower = values[0]!;
  for (let i = 1; i < middle; i++) if (values[i]! > lower) lower = values[i]!;
  return (lower + upper) / 2;
}

/** Moves values until the one at `k` is where sorting would put it, none before it larger and none after it smaller. */
function selectInPlace(values: Float64Array, k: number): number {
  let [from, to] = [0, values.length - 1];
  while (from < to) {
    const pivot = values[k]!;
    let [i, j] = [from, to];
    while (i <= j) {
      while (values[i]! < pivot) i++;
      while (pivot < values[j]!) j--;
      if (i > j) break;
      const moved = values[i]!;
      values[i++] = values[j]!;
      values[j--] = moved;
    }
    if (j < k) from = i;
    if (k < i) to = j;
  }
  return values[k]!;
}
