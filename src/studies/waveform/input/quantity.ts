import type { CurveSet, Plan } from '../../../dataset/index.ts';
import { quantityCatalogue } from '../../../kinematics/index.ts';
import type { StudyMetric } from '../../shared/study-metric.ts';
import type { StudyProblem } from '../../study.ts';

export type ChosenQuantity =
  | { readonly ok: true; readonly metric: StudyMetric }
  | { readonly ok: false; readonly problems: readonly StudyProblem[] };

/** The quantity asked for, the plan's, or the first in the order of the catalogue of which there are curves. */
export function chooseQuantity(
  curves: CurveSet | null,
  asked: string | undefined,
  plan: Plan | null,
): ChosenQuantity {
  const present = new Set(curves?.curves.map(({ quantity }) => quantity));
  const there = quantityCatalogue.filter(({ id }) => present.has(id));
  if (there.length === 0)
    return refused(
      'curves.csv',
      'no curve',
      'curves.csv beside the tables, with a row for each sample: swing_id, quantity, time_pct, value_deg',
      'Measure a folder of captures, which writes curves.csv, or export the curves from where they are.',
    );
  const wanted = asked ?? plan?.metric.column ?? there[0]!.id;
  const chosen = there.find(({ id }) => id === wanted);
  if (chosen === undefined)
    return refused(
      'the metric',
      `'${wanted}', of which there is no curve`,
      `a quantity with curves: ${there.map(({ id }) => id).join(', ')}`,
      'Name one of these with --metric, or in the plan.',
    );
  const planned = chosen.id === plan?.metric.column ? plan.goodDirection : undefined;
  return {
    ok: true,
    metric: {
      column: chosen.id,
      label: chosen.label,
      unit: chosen.unit,
      meaning: chosen.meaning,
      version: chosen.version,
      kind: 'number',
      decimals: 1,
      goodDirection: planned ?? 0,
      goodDirectionWhy:
        planned === undefined
          ? 'Over a whole downswing neither more nor less is better in itself; a plan can say otherwise.'
          : 'Stated in the plan.',
    },
  };
}

function refused(where: string, found: string, expected: string, remedy: string): ChosenQuantity {
  return { ok: false, problems: [{ where, found, expected, remedy }] };
}
