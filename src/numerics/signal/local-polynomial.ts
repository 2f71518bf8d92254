/**
 * Weights of the least-squares polynomial through samples at `times`, read at `at`: the fitted value is
 * sum w_i x_i (derivative 0) and its slope sum w_i' x_i (derivative 1). White noise of variance s^2 in the
 * samples gives the reading the variance s^2 sum w_i^2, and two readings the covariance s^2 sum w_i w_i'.
 *
 * @param times any spacing, more of them than `degree`
 * @param at where to read; outside the times it extrapolates
 * @throws RangeError with fewer samples than degree + 1
 * @see Savitzky A, Golay MJE (1964) Anal Chem 36:1627-1639
 * @example localPolynomialWeights([-1, 0, 1], 1, 0).value // [1/3, 1/3, 1/3]
 */
export function localPolynomialWeights(
  times: readonly number[],
  degree: number,
  at: number,
): { readonly value: Float64Array; readonly slope: Float64Array } {
  const n = times.length;
  if (n <= degree)
    throw new RangeError(`localPolynomialWeights: degree ${degree} needs at least ${degree + 1} samples`);
  const middle = (times[0]! + times[n - 1]!) / 2;
  const half = Math.max(Math.abs(times[n - 1]! - times[0]!) / 2, Number.MIN_VALUE);
  const u = new Float64Array(n);
  for (let i = 0; i < n; i++) u[i] = (times[i]! - middle) / half;
  const v = (at - middle) / half;
  // Orthogonal polynomials on the samples (Forsythe): q_k+1 = (u - a_k) q_k - b_k q_k-1, no matrix to invert.
  let previous = new Float64Array(n);
  let current = new Float64Array(n).fill(1);
  let [before, here, slopeBefore, slopeHere] = [0, 1, 0, 0];
  let lastNorm = 1;
  const value = new Float64Array(n);
  const slope = new Float64Array(n);
  for (let k = 0; k <= degree; k++) {
    let norm = 0;
    let first = 0;
    for (let i = 0; i < n; i++) {
      norm += current[i]! ** 2;
      first += u[i]! * current[i]! ** 2;
    }
    for (let i = 0; i < n; i++) {
      value[i] = value[i]! + (here * current[i]!) / norm;
      slope[i] = slope[i]! + (slopeHere * current[i]!) / (norm * half);
    }
    const a = first / norm;
    const b = k === 0 ? 0 : norm / lastNorm;
    lastNorm = norm;
    // The one before last is no longer needed once it has gone into the next.
    for (let i = 0; i < n; i++) previous[i] = (u[i]! - a) * current[i]! - b * previous[i]!;
    [previous, current] = [current, previous];
    const next = (v - a) * here - b * before;
    const slopeNext = here + (v - a) * slopeHere - b * slopeBefore;
    [before, slopeBefore] = [here, slopeHere];
    [here, slopeHere] = [next, slopeNext];
  }
  return { value, slope };
}
