export interface TippingInput {
  /** Interval of the effect if those who left would have changed like those who stayed. */
  readonly interval: readonly [number, number];
  /** The limits at which the conclusion changes, such as 0 or plus and minus the smallest change. */
  readonly limits: readonly number[];
  /** Share of each group that left before the outcome was measured, 0 to 1. */
  readonly missingTreated: number;
  readonly missingControl: number;
}

/**
 * How far the missing changes would have to differ from what the model expects of them before a limit of the
 * interval crosses a limit of the conclusion: the smallest shift d, in size, by which those who left the treated
 * group differ from expectation by d and those who left the control by -d. Signed as added to the treated group.
 * The effect moves by d x (missingTreated + missingControl), as in a pattern-mixture (delta-adjusted) analysis
 * (Carpenter and Kenward 2013, Multiple Imputation and its Application, ch. 10). Null when nobody is missing or
 * no limit is given.
 *
 * @example tippingShift({ interval: [1.2, 3], limits: [0.8], missingTreated: 0.1, missingControl: 0.1 }) // -2
 */
export function tippingShift(input: TippingInput): number | null {
  const share = input.missingTreated + input.missingControl;
  if (!(share > 0)) return null;
  let smallest: number | null = null;
  for (const end of input.interval)
    for (const limit of input.limits) {
      const shift = (limit - end) / share;
      if (smallest === null || Math.abs(shift) < Math.abs(smallest)) smallest = shift;
    }
  return smallest;
}
