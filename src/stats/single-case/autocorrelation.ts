/**
 * Lag-one autocorrelation of residuals, and the same with the bias of a short series taken off: r + p / N, p being the
 * number of coefficients that were fitted (Huitema and McKean 1991, Psychol Bull 110:291-304; 1998, Psychol Methods
 * 3:104-116). Null where nothing varies or there are fewer than three values.
 *
 * @example lagOneAutocorrelation([1, -1, 1, -1], 1)?.value // -0.75
 */
export function lagOneAutocorrelation(
  residuals: readonly number[],
  coefficients: number,
): { readonly value: number; readonly corrected: number } | null {
  if (residuals.length < 3) return null;
  let products = 0;
  let squares = 0;
  residuals.forEach((value, i) => {
    squares += value * value;
    if (i > 0) products += value * residuals[i - 1]!;
  });
  if (squares === 0) return null;
  const value = products / squares;
  return { value, corrected: value + coefficients / residuals.length };
}
