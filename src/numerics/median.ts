/**
 * The middle value; the mean of the middle two when the count is even; null when there are none. The values are
 * left as they are.
 *
 * @example median([3, 1, 2, 10]) // 2.5
 */
export function median(values: ArrayLike<number>): number | null {
  if (values.length === 0) return null;
  const sorted = Float64Array.from(values).sort();
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
}
