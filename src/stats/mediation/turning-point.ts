import { ratioInterval } from '../trial/index.ts';

/** A fitted parabola's slope and curvature with their variances, as the interval of its turning point needs them. */
export interface Curve {
  /** Slope at zero and coefficient of the square. */
  readonly slope: number;
  readonly square: number;
  readonly slopeVariance: number;
  readonly squareVariance: number;
  readonly covariance: number;
  /** Quantile of t (or of the normal) for the level wanted. */
  readonly quantile: number;
}

/**
 * Where slope x + square x^2 turns: -slope / (2 square), with Fieller's interval (Fieller 1954; Lind and Mehlum 2010,
 * Oxf Bull Econ Stat 72:109-118, for turning points). The interval is null where the square cannot be told from zero: then
 * no turning point is shown by the data.
 *
 * @throws Error when the square is 0
 * @example
 * turningPoint({ slope: 4, square: -0.2, slopeVariance: 0, squareVariance: 0, covariance: 0, quantile: 1.96 })
 * // { at: 10, kind: 'highest', interval: [10, 10], ... }
 */
export function turningPoint(curve: Curve): {
  readonly at: number;
  readonly interval: readonly [number, number] | null;
  readonly kind: 'highest' | 'lowest';
} {
  const { ratio, interval } = ratioInterval({
    numerator: -curve.slope / 2,
    denominator: curve.square,
    varianceNumerator: curve.slopeVariance / 4,
    varianceDenominator: curve.squareVariance,
    covariance: -curve.covariance / 2,
    quantile: curve.quantile,
  });
  return { at: ratio, interval, kind: curve.square < 0 ? 'highest' : 'lowest' };
}
