/** How the time of the downswing is laid out before curves are compared. */
export type TimeAxis =
  /** Piecewise linear between top, the instants that were found, and impact: curves meet at like instants. */
  | 'registered'
  /** Evenly from top (0) to impact (100). */
  | 'percent'
  /** Milliseconds before impact, as far back as every downswing reaches. */
  | 'milliseconds';

/** The ways of laying swings over one another in time. */
export const TIME_AXES: readonly TimeAxis[] = ['registered', 'percent', 'milliseconds'];

export const NODES = 101;

/** The grid on which curves are compared. */
export interface CurveAxis {
  readonly kind: TimeAxis;
  readonly label: string;
  /** `%` or `ms`. */
  readonly unit: '%' | 'ms';
  readonly times: readonly number[];
  /** Instants on the axis, in order, top and impact included where they are on it. */
  readonly marks: readonly { readonly x: number; readonly label: string }[];
}

/** Evenly spaced times with both ends. */
export function evenTimes(from: number, to: number): number[] {
  return Array.from({ length: NODES }, (_, q) => from + ((to - from) * q) / (NODES - 1));
}
