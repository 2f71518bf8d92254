/** Two estimates with their variances and covariance, whose ratio is wanted. */
export interface TwoEstimates {
  readonly numerator: number;
  readonly denominator: number;
  readonly varianceNumerator: number;
  readonly varianceDenominator: number;
  readonly covariance: number;
  /** The quantile of t (or of the normal) for the level wanted. */
  readonly quantile: number;
}

/**
 * A ratio of two estimates with Fieller's interval, exact for normal estimates (Fieller 1954, J R Stat Soc B
 * 16:175-185). The interval is null where the denominator cannot be told from zero: the ratio is then not bounded.
 *
 * @throws Error when the denominator is 0
 * @example
 * const estimates = { numerator: 2, denominator: 4, varianceNumerator: 0.04, varianceDenominator: 0.04, covariance: 0 };
 * ratioInterval({ ...estimates, quantile: 1.96 }) // { ratio: 0.5, interval: [0.3946, 0.6151] }
 */
export function ratioInterval(input: TwoEstimates): {
  ratio: number;
  interval: [number, number] | null;
} {
  const { numerator: a, denominator: b, quantile } = input;
  if (b === 0) throw new Error('ratioInterval: the denominator is 0; a ratio to it means nothing.');
  const q2 = quantile ** 2;
  const leading = b * b - q2 * input.varianceDenominator;
  if (!(leading > 0)) return { ratio: a / b, interval: null };
  const middle = a * b - q2 * input.covariance;
  const last = a * a - q2 * input.varianceNumerator;
  const root = Math.sqrt(Math.max(0, middle * middle - leading * last));
  return { ratio: a / b, interval: [(middle - root) / leading, (middle + root) / leading] };
}
