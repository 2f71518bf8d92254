import type { SwingGroup } from '../input/trial-data.ts';
import type { Effect } from './effect.ts';
import { fitCellsSomehow, golfersIn, type Share, shareOf } from './follow-up.ts';
import type { MainRequest } from './main-analysis.ts';

export interface Retention {
  /** By arm under test: the effect (or, without a control, the change) at retention, and the share kept of it. */
  readonly byArm: ReadonlyMap<string, { readonly effect: Effect; readonly kept: Share | null }>;
  readonly model: unknown;
}

const ENOUGH = 3;

/**
 * Did it last: baseline, post and retention in one baseline-constrained model, so that the effect at retention is
 * adjusted like the one at post and the share kept has an interval. Text when the question cannot be answered.
 */
export function analyseRetention(
  rows: readonly SwingGroup[],
  { design, outcome, level, degreesOfFreedom }: MainRequest,
): Retention | string {
  if (design.kind === 'crossover')
    return 'In a crossover the second arm follows the first, so retention of the first cannot be seen.';
  if (design.kind === 'stepped-start')
    return 'In a stepped start nobody is left without the drill at retention to compare with.';
  const full = rows
    .filter((row) => row.task === 'full' && row.phase !== 'training')
    .map((row) => ({ ...row, cell: row.phase as string }));
  const cells = ['baseline', 'post', 'retention'].filter((cell) => full.some((row) => row.cell === cell));
  if (!cells.includes('retention')) return 'No full swing was measured at retention.';
  if (!cells.includes('post')) return 'No full swing was measured after the drill to compare retention with.';
  const { control } = design;
  if (control === null && !cells.includes('baseline'))
    return 'Without a baseline there is no change to keep.';
  const measured = design.drills.filter((arm) => golfersIn(full, arm, 'retention') >= ENOUGH);
  if (measured.length === 0 || (control !== null && golfersIn(full, control, 'retention') < ENOUGH))
    return `Fewer than ${ENOUGH} golfers of an arm were measured at retention.`;
  const compared = [...measured, ...(control === null ? [] : [control])];
  const used = full.filter((row) => compared.includes(row.arm));
  const effects =
    control === null
      ? []
      : measured.flatMap((arm) => [
          { arm, cell: 'post' },
          { arm, cell: 'retention' },
        ]);
  const fitted = fitCellsSomehow({ outcome, rows: used, cells, effects, level, degreesOfFreedom });
  if (typeof fitted === 'string') return `The model with retention could not be used: ${fitted}.`;
  const byArm = measured.map((arm) => {
    const [effect, atPost, gap] =
      control === null
        ? [
            fitted.change(arm, 'retention', 'baseline'),
            fitted.change(arm, 'post', 'baseline'),
            fitted.change(arm, 'post', 'retention'),
          ]
        : [
            fitted.effect(arm, 'retention'),
            fitted.effect(arm, 'post'),
            fitted.contrast({ [`${arm} at post`]: 1, [`${arm} at retention`]: -1 }),
          ];
    return [arm, { effect, kept: shareOf(effect, atPost, gap, level) }] as const;
  });
  return { byArm: new Map(byArm), model: fitted.model };
}
