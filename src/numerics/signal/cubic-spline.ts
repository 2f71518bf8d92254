/** A cubic spline: on [t_i, t_i+1] the value is y + b h + c h^2 + d h^3 with h = t - t_i. */
export interface CubicSpline {
  readonly knots: Float64Array;
  readonly y: Float64Array;
  readonly b: Float64Array;
  readonly c: Float64Array;
  readonly d: Float64Array;
}

/**
 * The interpolating cubic spline through (t_i, y_i) with not-a-knot ends, so that any cubic is reproduced
 * exactly. Two points give the line, three the parabola.
 *
 * @param knots increasing
 * @throws RangeError with fewer than two points, unequal lengths or knots that do not increase
 * @see de Boor C (1978) A Practical Guide to Splines, ch. IV
 * @example evaluateSpline(cubicSpline(Float64Array.of(0, 1, 2, 3), Float64Array.of(0, 1, 8, 27)), 1.5) // 3.375
 */
export function cubicSpline(knots: Float64Array, y: Float64Array): CubicSpline {
  const n = knots.length;
  if (n < 2 || y.length !== n)
    throw new RangeError('cubicSpline: give as many values as knots, and at least two of them');
  for (let i = 1; i < n; i++)
    if (!(knots[i]! > knots[i - 1]!)) throw new RangeError('cubicSpline: the knots must increase');
  const h = Float64Array.from({ length: n - 1 }, (_, i) => knots[i + 1]! - knots[i]!);
  const slope = Float64Array.from({ length: n - 1 }, (_, i) => (y[i + 1]! - y[i]!) / h[i]!);
  const second = secondDerivatives(h, slope);
  const b = new Float64Array(n - 1);
  const c = new Float64Array(n - 1);
  const d = new Float64Array(n - 1);
  for (let i = 0; i < n - 1; i++) {
    b[i] = slope[i]! - (h[i]! * (2 * second[i]! + second[i + 1]!)) / 6;
    c[i] = second[i]! / 2;
    d[i] = (second[i + 1]! - second[i]!) / (6 * h[i]!);
  }
  return { knots, y, b, c, d };
}

/** Second derivatives at the knots; the not-a-knot conditions are folded into the tridiagonal system. */
function secondDerivatives(h: Float64Array, slope: Float64Array): Float64Array {
  const n = h.length + 1;
  const m = new Float64Array(n);
  if (n === 2) return m;
  if (n === 3) return m.fill((2 * (slope[1]! - slope[0]!)) / (h[0]! + h[1]!));
  const k = n - 2;
  const lower = new Float64Array(k);
  const diagonal = new Float64Array(k);
  const upper = new Float64Array(k);
  const right = new Float64Array(k);
  for (let i = 0; i < k; i++) {
    lower[i] = h[i]!;
    diagonal[i] = 2 * (h[i]! + h[i + 1]!);
    upper[i] = h[i + 1]!;
    right[i] = 6 * (slope[i + 1]! - slope[i]!);
  }
  const [h0, h1, hy, hz] = [h[0]!, h[1]!, h[n - 3]!, h[n - 2]!];
  // m0 = (1 + h0/h1) m1 - (h0/h1) m2, and the same at the other end.
  diagonal[0] = diagonal[0]! + h0 * (1 + h0 / h1);
  upper[0] = upper[0]! - (h0 * h0) / h1;
  diagonal[k - 1] = diagonal[k - 1]! + hz * (1 + hz / hy);
  lower[k - 1] = lower[k - 1]! - (hz * hz) / hy;
  for (let i = 1; i < k; i++) {
    const w = lower[i]! / diagonal[i - 1]!;
    diagonal[i] = diagonal[i]! - w * upper[i - 1]!;
    right[i] = right[i]! - w * right[i - 1]!;
  }
  for (let i = k - 1; i >= 0; i--)
    m[i + 1] = (right[i]! - (i < k - 1 ? upper[i]! * m[i + 2]! : 0)) / diagonal[i]!;
  m[0] = (1 + h0 / h1) * m[1]! - (h0 / h1) * m[2]!;
  m[n - 1] = (1 + hz / hy) * m[n - 2]! - (hz / hy) * m[n - 3]!;
  return m;
}

/**
 * Value (order 0) or derivative (order 1 or 2) of a spline at t; outside the knots the end cubic goes on.
 * @example evaluateSpline(cubicSpline(Float64Array.of(0, 1, 2, 3), Float64Array.of(0, 1, 8, 27)), 2, 1) // 12: the slope of t^3 at 2
 */
export function evaluateSpline(spline: CubicSpline, t: number, order: 0 | 1 | 2 = 0): number {
  const { knots, y, b, c, d } = spline;
  let low = 0;
  let high = knots.length - 2;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (knots[middle]! <= t) low = middle;
    else high = middle - 1;
  }
  const h = t - knots[low]!;
  if (order === 0) return y[low]! + h * (b[low]! + h * (c[low]! + h * d[low]!));
  if (order === 1) return b[low]! + h * (2 * c[low]! + 3 * h * d[low]!);
  return 2 * c[low]! + 6 * h * d[low]!;
}

/**
 * Derivative at the samples of an evenly sampled signal, from the interpolating cubic spline through all of them. A
 * signal of one sample has no derivative (NaN).
 *
 * @param rateHz samples per second; the result is per second
 * @example splineDerivative(Float64Array.of(0, 1, 8, 27), 1) // [0, 3, 12, 27]
 */
export function splineDerivative(x: Float64Array, rateHz: number): Float64Array {
  const n = x.length;
  const out = new Float64Array(n).fill(Number.NaN);
  if (n < 2) return out;
  const spline = cubicSpline(
    Float64Array.from(x, (_, i) => i),
    x,
  );
  for (let i = 0; i < n - 1; i++) out[i] = spline.b[i]! * rateHz;
  out[n - 1] = evaluateSpline(spline, n - 1, 1) * rateHz;
  return out;
}

/**
 * Weights of the samples in the interpolating cubic spline through them, read at `at`: the value is sum w_i x_i, the
 * slope sum w_i' x_i and the second derivative sum w_i'' x_i, each per unit of `times`.
 *
 * @param times increasing, at least two
 * @example splineWeights([0, 1], 0.25).value // [0.75, 0.25]
 */
export function splineWeights(
  times: readonly number[],
  at: number,
): { readonly value: Float64Array; readonly slope: Float64Array; readonly second: Float64Array } {
  const knots = Float64Array.from(times);
  // The spline is linear in its values: the weight of a sample is the spline through one at its place and zeros.
  const through = times.map((_, i) =>
    cubicSpline(
      knots,
      Float64Array.from(times, (_t, j) => (i === j ? 1 : 0)),
    ),
  );
  const read = (order: 0 | 1 | 2) =>
    Float64Array.from(through, (spline) => evaluateSpline(spline, at, order));
  return { value: read(0), slope: read(1), second: read(2) };
}
