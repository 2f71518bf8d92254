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

/** The resource curves.csv as datapackage.json describes it. */
export const CURVES_RESOURCE = {
  $schema: 'https://datapackage.org/profiles/2.0/dataresource.json',
  name: 'curves',
  type: 'table',
  path: 'curves.csv',
  title: 'Curves over the downswing',
  description: 'One row for each sample of a quantity of a swing, from the top (0 %) to impact (100 %).',
  format: 'csv',
  mediatype: 'text/csv',
  encoding: 'utf-8',
  schema: {
    $schema: 'https://datapackage.org/profiles/2.0/tableschema.json',
    fields: [
      { name: 'swing_id', type: 'string', constraints: { required: true } },
      {
        name: 'quantity',
        type: 'string',
        description: 'The id of the quantity in the catalogue of metrics.',
        constraints: { required: true },
      },
      {
        name: 'time_pct',
        type: 'number',
        description: 'Per cent of the downswing: 0 the top, 100 impact.',
        constraints: { required: true, minimum: 0, maximum: 100 },
      },
      { name: 'value_deg', type: 'number', constraints: { required: true } },
    ],
    missingValues: [''],
    primaryKey: ['swing_id', 'quantity', 'time_pct'],
    foreignKeys: [{ fields: ['swing_id'], reference: { resource: 'swings', fields: ['swing_id'] } }],
  },
} as const;

/** The text of curves.csv. */
export function curvesCsv(curves: readonly SwingCurve[]): string {
  const lines = ['swing_id,quantity,time_pct,value_deg'];
  for (const { swing_id, quantity, values } of curves)
    for (let pct = 0; pct < values.length; pct++)
      lines.push(`${swing_id},${quantity},${pct},${values[pct]!.toFixed(2)}`);
  return `${lines.join('\n')}\n`;
}
