import type { Participant } from './participant.ts';
import type { CurveQuantity } from './recipe/recipe.ts';

/** One quantity of one swing over the downswing. */
export interface SwingCurve {
  readonly swing_id: string;
  readonly quantity: CurveQuantity;
  /** deg, at each whole per cent of the downswing from 0 (top) to 100 (impact). */
  readonly values: Float64Array;
}

/** The curves of a cohort, once its swings have their ids; full swings only. */
export function cohortCurves(participants: readonly Participant[]): SwingCurve[] {
  return participants.flatMap(({ visits }) =>
    visits.flatMap(({ swings, curves }) =>
      curves.flatMap((samples, at) => {
        const { swing_id, task } = swings[at]!;
        return task === 'full' ? samples.map((sample) => ({ swing_id, ...sample })) : [];
      }),
    ),
  );
}

/** The text of curves.csv. */
export function curvesCsv(curves: readonly SwingCurve[]): string {
  const lines = ['swing_id,quantity,time_pct,value_deg'];
  for (const { swing_id, quantity, values } of curves)
    for (let pct = 0; pct < values.length; pct++)
      lines.push(`${swing_id},${quantity},${pct},${values[pct]!.toFixed(2)}`);
  return `${lines.join('\n')}\n`;
}
