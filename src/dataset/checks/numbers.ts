/** Median of at least one number; the mean of the middle two when their count is even. */
export function medianOf(values: Float64Array): number {
  const sorted = values.slice().sort();
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
}

/** A number for a sentence: at most four figures that matter. */
export function fewNumbers(value: number): string {
  return String(Number(value.toPrecision(4)));
}
