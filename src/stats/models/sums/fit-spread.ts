import type { DataColumns, FitOutcome, Model, ModelProblem } from '../contract.ts';
import type { Design } from '../design/design.ts';
import { fixedColumns } from '../design/fixed-columns.ts';
import { readModelData } from '../design/model-data.ts';
import { effectColumns, inCoordinates } from '../design/random-columns.ts';
import { fitDesign } from '../linear/fit-design.ts';
import { designOfEntries } from './design-of-entries.ts';
import { sumsProblems } from './sums-problems.ts';

/** How the rows behind the means of cells depart from them. */
export interface SpreadOfCells {
  /** Rows behind each cell, above zero. */
  readonly counts: ArrayLike<number>;
  /** The cell whose groups each row of spread belongs to. */
  readonly cell: ArrayLike<number>;
  /**
   * For each column that varies inside cells its values in the rows of spread: their squares and products, summed over the
   * rows of spread of a group, are those of the departures of the group's rows from the means of their cells.
   */
  readonly columns: Readonly<Record<string, ArrayLike<number>>>;
}

/**
 * Fits a normal model of plain columns from the means of cells and the squares and products of the departures from them: the
 * same estimates, standard errors and degrees of freedom as `fitModel` gives from the rows, to rounding.
 *
 * A cell of n rows enters as its means times the root of n; departures from means are orthogonal to whatever is constant in
 * the cell, so they enter as rows of their own in which the intercept is zero. Departures of all cells of one group may be
 * summed before, where the random effects of the cells themselves are intercepts alone. Nothing is subtracted that is much
 * larger than what is left. Questions that need rows throw for such a fit.
 *
 * @param cells a row for each cell: the groups, and the mean of every column of the model, the outcome among them
 * @throws Error when the columns of spread differ in length from `cell`, or a cell has no rows
 * @example
 * // x = 0, 2 and y = 1, 5: slope 2
 * const model = { outcome: 'y', fixed: ['intercept', { column: 'x' }] };
 * const spread = { counts: [3, 3], cell: [0, 1], columns: { x: [1, 1], y: [2.1, 1.9] } };
 * const outcome = fitSpread(model, { x: [1, 2], y: [3, 5] }, spread);
 * outcome.ok && outcome.fit.result.fixed[1]!.estimate // 2
 */
export function fitSpread(model: Model, cells: DataColumns, spread: SpreadOfCells): FitOutcome {
  const refused = [...sumsProblems(model), ...plainProblems(model)];
  if (refused.length > 0) return { ok: false, problems: refused };
  const design = designOfSpread(model, cells, spread);
  if (!('assembled' in design)) return { ok: false, problems: design };
  return fitDesign(design, false);
}

function designOfSpread(
  model: Model,
  cells: DataColumns,
  spread: SpreadOfCells,
): Design | readonly ModelProblem[] {
  const read = readModelData(model, cells);
  if (!('kept' in read)) return read;
  const { kept } = read;
  const n = kept.rows;
  const extra = spread.cell.length;
  const complete =
    n === spread.counts.length && Object.values(spread.columns).every((c) => c.length === extra);
  if (!complete)
    throw new Error(
      'fitSpread: every cell needs its count and means, and every column of spread an entry for each of `cell`',
    );
  const entries = n + extra;
  const roots = Float64Array.from(spread.counts, Math.sqrt);
  const counts = new Float64Array(entries);
  counts.set(spread.counts);
  let rows = 0;
  for (let c = 0; c < n; c++) rows += spread.counts[c]!;
  const rowOf = new Int32Array(entries);
  for (let e = 0; e < entries; e++) rowOf[e] = e < n ? e : spread.cell[e - n]!;
  /** A column over the entries, at `from` of `into`: the means of the cells, then its departures; none where it has none. */
  const fill = (into: Float64Array, from: number, means: ArrayLike<number>, name: string | null): void => {
    for (let c = 0; c < n; c++) into[from + c] = roots[c]! * means[c]!;
    const departures = name === null ? undefined : spread.columns[name];
    if (departures !== undefined) for (let e = 0; e < extra; e++) into[from + n + e] = departures[e]!;
  };
  const fixed = fixedColumns(model, kept);
  if (!('names' in fixed)) return fixed;
  const x = new Float64Array(fixed.names.length * entries);
  model.fixed.forEach((term, t) => {
    for (const { index } of fixed.effects[t]!.columns)
      fill(
        x,
        index * entries,
        fixed.values.subarray(index * n, (index + 1) * n),
        term === 'intercept' ? null : (term as { column: string }).column,
      );
  });
  const outcome = new Float64Array(entries);
  fill(outcome, 0, kept.numbers(model.outcome), model.outcome);
  const terms = inCoordinates(model, entries, rows, ({ effects }) => {
    const columns = effects.flatMap((effect) => effectColumns(effect, kept));
    const stacked = new Float64Array(columns.length * entries);
    columns.forEach(({ label, values }, j) => {
      fill(stacked, j * entries, values, effects[j] === 'intercept' ? null : label);
    });
    return { effects: columns.map(({ label }) => label), stacked, resolution: null };
  });
  return designOfEntries(kept, {
    model,
    rows,
    entries,
    rowOf,
    names: fixed.names,
    effects: fixed.effects,
    x,
    outcome,
    terms,
    problems: [],
    counts,
    resolution: null,
    notes: read.notes,
    logWeights: 0,
  });
}

/** What is made of columns row by row has sums of its own. */
function plainProblems(model: Model): ModelProblem[] {
  const problem = (where: string, found: string): ModelProblem => ({
    kind: 'not-available',
    where,
    found,
    expected: 'intercepts and plain columns of numbers, whose means and products are known',
    remedy: 'Put it into the cells as a column of its own, or fit the rows with fitModel.',
  });
  return [
    ...(model.weights === undefined ? [] : [problem('/weights', 'weights of rows')]),
    ...(model.offset === undefined ? [] : [problem('/offset', 'an offset of rows')]),
    ...model.fixed.flatMap((term, t) =>
      term === 'intercept' || Object.keys(term).join() === 'column'
        ? []
        : [problem(`/fixed/${t}`, 'a term that is no plain column')],
    ),
    ...(model.random ?? []).flatMap(({ effects }, t) =>
      effects.every((effect) => typeof effect === 'string')
        ? []
        : [problem(`/random/${t}/effects`, 'an effect that is no plain column')],
    ),
  ];
}
