/**
 * Quantile of values sorted from small to large, by linear interpolation between order statistics (definition 7 of
 * Hyndman and Fan 1996, The American Statistician 50:361-365).
 *
 * @param sorted at least one value, ascending
 * @param share from 0 to 1
 * @throws RangeError when there is no value, or the share is outside 0 to 1
 * @example quantileOfSorted([1, 2, 4], 0.75) // 3
 */
export function quantileOfSorted(sorted: ArrayLike<number>, share: number): number {
  if (sorted.length === 0 || !(share >= 0 && share <= 1))
    throw new RangeError('quantileOfSorted: need at least one value and a share from 0 to 1');
  const at = share * (sorted.length - 1);
  const low = Math.floor(at);
  const high = Math.min(sorted.length - 1, low + 1);
  return sorted[low]! + (at - low) * (sorted[high]! - sorted[low]!);
}
