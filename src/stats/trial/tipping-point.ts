/** An effect's interval, how many left each group, and what is concluded from an interval. */
export interface TippingInput {
  /** Interval of the effect if those who left would have changed like those who stayed. */
  readonly interval: readonly [number, number];
  /** The limits that the conclusion turns on, such as 0 or plus and minus the smallest change. */
  readonly limits: readonly number[];
  /** What is concluded from an interval. */
  readonly conclude: (interval: readonly [number, number]) => string;
  /** Share of each group that left before the outcome was measured, 0 to 1. */
  readonly missingTreated: number;
  readonly missingControl: number;
}

/**
 * How far the missing changes would have to differ from what the model expects of them before the conclusion
 * changes: the shift d, smallest in size, by which those who left the treated group differ from expectation by d
 * and those who left the control by -d. The effect then moves by d x (missingTreated + missingControl), as in a
 * pattern-mixture (delta-adjusted) analysis (Carpenter and Kenward 2013, Multiple Imputation and its Application,
 * ch. 10). Null when nobody is missing, or no shift changes the conclusion.
 *
 * @example tippingShift({ interval: [1.2, 3], limits: [0.8], conclude: ([low]) => (low >= 0.8 ? 'yes' : 'no'),
 *   missingTreated: 0.1, missingControl: 0.1 }) // -2
 */
export function tippingShift(input: TippingInput): number | null {
  const { interval, limits, conclude } = input;
  const share = input.missingTreated + input.missingControl;
  if (!(share > 0)) return null;
  const before = conclude(interval);
  const nudge = 1e-9 * (Math.abs(interval[0]) + Math.abs(interval[1]) + interval[1] - interval[0]);
  const moves = interval
    .flatMap((end) => limits.map((limit) => limit - end))
    .sort((a, b) => Math.abs(a) - Math.abs(b));
  for (const move of moves) {
    const past = move + (move < 0 ? -nudge : nudge);
    if (conclude([interval[0] + past, interval[1] + past]) !== before) return move / share;
  }
  return null;
}
