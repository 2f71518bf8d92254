import type { SwingGroup } from '../input/trial-data.ts';
import type { Effect } from './effect.ts';
import { fitCellsSomehow, golfersIn, type Share, shareOf } from './follow-up.ts';
import type { MainRequest } from './main-analysis.ts';

export interface CarryOver {
  readonly byArm: ReadonlyMap<
    string,
    {
      readonly atDrillSpeed: Effect;
      readonly full: Effect;
      /** The effect at drill speed minus the effect in full swings. */
      readonly lost: Effect;
      readonly carried: Share | null;
    }
  >;
  readonly model: unknown;
}

const FULL = 'full swings';
const DRILL = 'drill swings';
const ENOUGH = 3;

/**
 * Does what changes at drill speed carry over to full swings: both tasks, before and after, in one model in which
 * the arms share every mean before the drill. Text when the question cannot be answered.
 */
export function analyseCarryOver(
  rows: readonly SwingGroup[],
  { design, outcome, level, degreesOfFreedom }: MainRequest,
): CarryOver | string {
  const { control } = design;
  if (design.kind !== 'parallel' || control === null)
    return 'Carry-over from drill speed is compared between parallel groups only.';
  const cellRows = rows
    .filter(
      (row) =>
        (row.task === 'full' || row.task === 'drill') && (row.phase === 'baseline' || row.phase === 'post'),
    )
    .map((row) => ({ ...row, cell: cellOf(row) }));
  const at = (task: string, phase: string) => `${task} at ${phase}`;
  if (!cellRows.some((row) => row.cell === at(DRILL, 'post')))
    return 'No swing at drill speed was measured after the drill.';
  const measured = design.drills.filter(
    (arm) =>
      golfersIn(cellRows, arm, at(DRILL, 'post')) >= ENOUGH &&
      golfersIn(cellRows, arm, at(FULL, 'post')) >= ENOUGH,
  );
  if (measured.length === 0 || golfersIn(cellRows, control, at(DRILL, 'post')) < ENOUGH)
    return `Fewer than ${ENOUGH} golfers of an arm were measured at drill speed after the drill.`;
  const compared = [...measured, control];
  const used = cellRows.filter((row) => compared.includes(row.arm));
  const cells = [at(FULL, 'baseline'), at(FULL, 'post'), at(DRILL, 'baseline'), at(DRILL, 'post')].filter(
    (cell) => used.some((row) => row.cell === cell),
  );
  const effects = measured.flatMap((arm) => [
    { arm, cell: at(FULL, 'post') },
    { arm, cell: at(DRILL, 'post') },
  ]);
  const fitted = fitCellsSomehow({ outcome, rows: used, cells, effects, level, degreesOfFreedom });
  if (typeof fitted === 'string') return `The model with both speeds could not be used: ${fitted}.`;
  const byArm = measured.map((arm) => {
    const atDrillSpeed = fitted.effect(arm, at(DRILL, 'post'));
    const full = fitted.effect(arm, at(FULL, 'post'));
    const lost = fitted.contrast({
      [`${arm} at ${at(DRILL, 'post')}`]: 1,
      [`${arm} at ${at(FULL, 'post')}`]: -1,
    });
    return [arm, { atDrillSpeed, full, lost, carried: shareOf(full, atDrillSpeed, lost, level) }] as const;
  });
  return { byArm: new Map(byArm), model: fitted.model };
}

function cellOf(row: SwingGroup): string {
  return `${row.task === 'full' ? FULL : DRILL} at ${row.phase}`;
}
