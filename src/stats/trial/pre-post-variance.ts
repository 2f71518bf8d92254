/**
 * Variance of a covariance-adjusted difference between two equal groups, in units of 2 sigma^2 / n, with `before`
 * measurements before and `after` measurements after, all correlated by `correlation`:
 * (1 + (r - 1) rho) / r - p rho^2 / (1 + (p - 1) rho). It is 1 for one measurement after and none before, so it
 * is also the share of the golfers that are needed for the same precision.
 * Source: Frison and Pocock 1992, Stat Med 11:1685-1704.
 *
 * @throws Error when there is no measurement after, or the correlation lies outside [0, 1]
 * @example prePostVarianceFactor(1, 1, 0.7) // 0.51
 */
export function prePostVarianceFactor(before: number, after: number, correlation: number): number {
  if (!(after >= 1 && before >= 0))
    throw new Error('prePostVarianceFactor: needs at least one measurement after and none or more before.');
  if (!(correlation >= 0 && correlation <= 1))
    throw new Error(`prePostVarianceFactor: the correlation must lie in [0, 1], got ${correlation}.`);
  const outcome = (1 + (after - 1) * correlation) / after;
  if (before === 0) return outcome;
  return outcome - (before * correlation ** 2) / (1 + (before - 1) * correlation);
}
