/**
 * Place of the extremum of a sampled signal near sample i, by the parabola through it and its neighbours; i itself at
 * an end, beside a missing sample, or where the three lie on a line.
 *
 * @example refineExtremum(Float64Array.of(1, 0.25, 2), 1) // 0.8
 */
export function refineExtremum(values: Float64Array, i: number): number {
  const [before, here, after] = [values[i - 1], values[i], values[i + 1]];
  if (before === undefined || here === undefined || after === undefined) return i;
  const shift = (before - after) / (2 * (before - 2 * here + after));
  return Math.abs(shift) <= 1 ? i + shift : i;
}

/** The last i in from..to-1 with a sign change from above zero to zero or below, and where between i and i + 1. */
export function lastFall(values: Float64Array, from: number, to: number): number | null {
  for (let i = to - 1; i >= from; i--) {
    const [a, b] = [values[i]!, values[i + 1]!];
    if (a > 0 && b <= 0) return i + a / (a - b);
  }
  return null;
}
