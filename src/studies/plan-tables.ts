/** What the page of a plan is drawn from. Chances are shares, 0 to 1. */

export interface PlanCell {
  /** In all, at the start. */
  readonly golfers: number;
  /** Of each golfer in each phase. */
  readonly sessions: number;
  /** Full swings in a session. */
  readonly swings: number;
  /** Chance of the verdict `meaningful` if the effect is as assumed, with its Monte Carlo interval. */
  readonly meaningful: number;
  readonly meaningfulInterval: readonly [number, number];
  /** Chance of the verdict `too-small-to-matter` if there is no effect. */
  readonly tooSmall: number;
  readonly tooSmallInterval: readonly [number, number];
  /** The true effect at which `meaningful` has the wished chance, as a size; null where it cannot be had. */
  readonly detectable: number | null;
  /** Fits, of all that were drawn, that gave no interval: counted as studies without an answer. */
  readonly failed: number;
}

/**
 * What the page of a plan is drawn from: the chance of the right verdict by golfers and swings, and the spreads
 * assumed, in the unit of the metric.
 */
export interface PlanTables {
  /** By golfers, then by swings. */
  readonly grid: readonly PlanCell[];
  /** The wished chance of the right verdict. */
  readonly chance: number;
  /** The assumed effect, with its sign. */
  readonly effect: number;
  readonly draws: number;
  readonly spread: {
    readonly golferSd: number;
    readonly changeSd: number;
    readonly responseSd: number;
    readonly sessionSd: number;
    readonly swingSd: number;
  };
}
