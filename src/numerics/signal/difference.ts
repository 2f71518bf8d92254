/**
 * Derivative of an evenly sampled signal by five-point differences, exact for a quartic: central inside,
 * one-sided over the first and last two samples. Shorter signals use the differences that fit; a signal of
 * one sample has no derivative (NaN).
 *
 * @param rateHz samples per second; the result is per second
 * @see Abramowitz M, Stegun IA (1964) Handbook of Mathematical Functions, table 25.2
 * @example difference(Float64Array.of(0, 1, 4, 9, 16), 1) // [0, 2, 4, 6, 8]
 */
export function difference(x: Float64Array, rateHz: number): Float64Array {
  const n = x.length;
  const out = new Float64Array(n);
  if (n < 5) {
    for (let i = 0; i < n; i++) {
      const from = Math.max(0, i - 1);
      const to = Math.min(n - 1, i + 1);
      out[i] = ((x[to]! - x[from]!) / (to - from)) * rateHz;
    }
    return out;
  }
  const k = rateHz / 12;
  const edge = (i: number, step: 1 | -1): number =>
    step *
    k *
    (-25 * x[i]! + 48 * x[i + step]! - 36 * x[i + 2 * step]! + 16 * x[i + 3 * step]! - 3 * x[i + 4 * step]!);
  const beside = (i: number, step: 1 | -1): number =>
    step * k * (-3 * x[i - step]! - 10 * x[i]! + 18 * x[i + step]! - 6 * x[i + 2 * step]! + x[i + 3 * step]!);
  out[0] = edge(0, 1);
  out[1] = beside(1, 1);
  for (let i = 2; i < n - 2; i++) out[i] = k * (x[i - 2]! - 8 * x[i - 1]! + 8 * x[i + 1]! - x[i + 2]!);
  out[n - 2] = beside(n - 2, -1);
  out[n - 1] = edge(n - 1, -1);
  return out;
}
