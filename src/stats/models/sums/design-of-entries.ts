import type { ModelProblem } from '../contract.ts';
import type { Design } from '../design/design.ts';
import { frameColumns, type ModelColumns } from '../design/frame-columns.ts';
import { groupTree } from '../design/group-tree.ts';
import type { ModelData } from '../design/model-data.ts';
import { groupingsOf } from '../design/random-columns.ts';
import { crossedGroups, needsRows } from './needs-rows.ts';

/** Entries made of sums, and what is said of the rows behind them. */
export interface SummedEntries extends Omit<ModelColumns, 'groupings'> {
  /** 0-based row of the kept data that each entry belongs to. */
  readonly rowOf: Int32Array;
  readonly notes: readonly string[];
  readonly logWeights: number;
}

/** The design of a model whose entries are no rows of data: what asks for rows throws. */
export function designOfEntries(
  kept: ModelData['kept'],
  { rowOf, notes, logWeights, ...columns }: SummedEntries,
): Design | readonly ModelProblem[] {
  const groupings = groupingsOf(columns.model, kept).map((grouping) => ({
    ...grouping,
    at: rowOf.map((row) => grouping.at[row]!),
  }));
  if (groupTree(groupings).crossed.length > 0) return [crossedGroups(groupings)];
  const framed = frameColumns({ ...columns, groupings });
  if (!('assembled' in framed)) return framed;
  return {
    ...framed,
    leftOut: [],
    notes,
    kept: { rows: columns.rows, factor: kept.factor, codes: needsRows, numbers: needsRows, texts: needsRows },
    logWeights,
    get columns() {
      return needsRows();
    },
    get keptRows() {
      return needsRows();
    },
    frameOutcome: needsRows,
  };
}
