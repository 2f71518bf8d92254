/**
 * The parts of an indirect effect from which `indirectUnder` says what it would be with an unmeasured cause behind
 * carrier and outcome.
 */
export interface IndirectParts {
  /** Slope of what carries the effect on the cause. */
  readonly a: number;
  /** Residual SD of what carries it, given the cause; and of the outcome, given the cause alone. */
  readonly sdCarrier: number;
  readonly sdOutcome: number;
  /** Correlation of those two residuals. */
  readonly correlation: number;
}

/**
 * What the indirect effect would be if an unmeasured cause made the errors of carrier and outcome correlate by rho:
 * a (sdOutcome / sdCarrier) (r - rho sqrt((1 - r^2) / (1 - rho^2))). At rho 0 it is the product of slopes; it is zero at
 * rho = r, the correlation of the residuals.
 *
 * Source: Imai, Keele and Yamamoto 2010, Stat Sci 25:51-71, theorem 4.
 *
 * @throws Error when rho is not inside -1..1
 * @example indirectUnder(0.3, { a: 1, sdCarrier: 1, sdOutcome: 1, correlation: 0.3 }) // 0
 */
export function indirectUnder(rho: number, parts: IndirectParts): number {
  const { a, sdCarrier, sdOutcome, correlation: r } = parts;
  if (!(Math.abs(rho) < 1)) throw new Error(`indirectUnder: rho must lie between -1 and 1; found ${rho}`);
  return ((a * sdOutcome) / sdCarrier) * (r - rho * Math.sqrt((1 - r * r) / (1 - rho * rho)));
}

/**
 * The parts from cross products of cause, carrier and outcome (3 x 3): residuals on the cause alone. Null where one does
 * not vary.
 *
 * @example indirectParts([1, 1, 1, 1, 2, 2, 1, 2, 5], 10) // { a: 1, correlation: 0.5, ... }
 */
export function indirectParts(products: ArrayLike<number>, degreesOfFreedom: number): IndirectParts | null {
  const xx = products[0]!;
  if (!(xx > 0)) return null;
  const left = (i: number, j: number) => products[3 * i + j]! - (products[i]! * products[j]!) / xx;
  const [mm, my, yy] = [left(1, 1), left(1, 2), left(2, 2)];
  if (!(mm > 0 && yy > 0)) return null;
  return {
    a: products[1]! / xx,
    sdCarrier: Math.sqrt(mm / degreesOfFreedom),
    sdOutcome: Math.sqrt(yy / degreesOfFreedom),
    correlation: my / Math.sqrt(mm * yy),
  };
}
