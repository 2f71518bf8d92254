import type { LeftOut } from '../../finding.ts';
import { groupLeftOut, joinLeftOut } from '../../shared/left-out.ts';
import type { Design } from '../input/design.ts';
import { outsideComparison } from '../input/rows.ts';
import type { FindingParts } from './write-finding.ts';

/** Every row that did not enter the main comparison, by reason; with the swings used it accounts for all. */
export function leftOut({ design, extracted, placed, answers }: FindingParts): LeftOut[] {
  const { main, golfers } = answers;
  const swings = [
    ...extracted.swings,
    ...placed.unplaced,
    ...placed.rows
      .filter((row) => !main.used.has(row))
      .map((row) => ({
        count: row.count,
        ids: row.each?.ids ?? null,
        why: outsideComparison(row, design) ?? main.unusedWhy,
      })),
  ];
  const assigned = new Set(design.periods.keys());
  const other = new Set(design.otherArms);
  const outside = new Set(extracted.golfers.map((golfer) => golfer.id));
  const people = [
    ...extracted.golfers,
    ...extracted.data.golfers
      .filter((golfer) => !assigned.has(golfer) && !outside.has(golfer))
      .map((id) => ({
        id,
        why: other.has(id)
          ? 'in an arm that the plan does not compare'
          : 'not assigned to an arm of this trial',
      })),
    ...golfers
      .filter((golfer) => golfer.before === null || golfer.after === null)
      .map((golfer) => ({ id: golfer.golfer, why: missingWhy(golfer, design, main.form === 'swings') })),
  ];
  return [
    ...groupLeftOut('golfers', people),
    ...groupLeftOut('sessions', extracted.sessions),
    ...joinLeftOut('swings', swings),
  ];
}

function missingWhy(
  golfer: { readonly before: number | null; readonly after: number | null },
  design: Design,
  bySwings: boolean,
): string {
  if (golfer.before === null && golfer.after === null)
    return 'no full swing with a value in any compared phase';
  const phase =
    design.kind === 'crossover'
      ? golfer.before === null
        ? 'after the control'
        : 'after the drill'
      : golfer.before === null
        ? 'at baseline'
        : 'after the drill';
  return `no full swing with a value ${phase}: ${
    bySwings ? 'in the model with what there is, without a change of their own' : 'not in the comparison'
  }`;
}
