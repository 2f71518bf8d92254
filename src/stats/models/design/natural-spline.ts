/**
 * Columns of a natural cubic spline: cubic between knots, straight beyond the outer ones. The outer knots are
 * the smallest and largest value, the `degreesOfFreedom - 1` inner ones stand at equally spaced quantiles (linear
 * interpolation between order statistics). With an intercept the columns span every natural spline on those
 * knots. Column 1 is the straight line (value - first knot) / range; the others bend, in the same unit.
 * Source: the truncated power form of Hastie, Tibshirani and Friedman, Elements of Statistical Learning, 2nd
 * ed., equations 5.4 and 5.5.
 *
 * `at` asks for the columns at other values than those that place the knots.
 * Returns null where the values do not hold enough distinct knots.
 */
export function naturalSplineColumns(
  values: Float64Array,
  degreesOfFreedom: number,
  at: Float64Array = values,
): Float64Array[] | null {
  const sorted = Float64Array.from(values).sort();
  const n = sorted.length;
  const knots: number[] = [];
  for (let k = 0; k <= degreesOfFreedom; k++) {
    const place = ((n - 1) * k) / degreesOfFreedom;
    const below = Math.floor(place);
    const above = Math.min(below + 1, n - 1);
    knots.push(sorted[below]! + (place - below) * (sorted[above]! - sorted[below]!));
  }
  const first = knots[0]!;
  const last = knots.at(-1)!;
  const range = last - first;
  const scaled = knots.map((knot) => (knot - first) / range);
  for (let k = 1; k < scaled.length; k++) if (!(scaled[k]! > scaled[k - 1]!)) return null;
  const bend = (x: number, knot: number) =>
    (Math.max(0, x - knot) ** 3 - Math.max(0, x - 1) ** 3) / (1 - knot);
  const columns = Array.from({ length: degreesOfFreedom }, () => new Float64Array(at.length));
  const nextToLast = scaled.at(-2)!;
  for (let i = 0; i < at.length; i++) {
    const x = (at[i]! - first) / range;
    columns[0]![i] = x;
    for (let k = 0; k < degreesOfFreedom - 1; k++)
      columns[k + 1]![i] = bend(x, scaled[k]!) - bend(x, nextToLast);
  }
  return columns;
}
