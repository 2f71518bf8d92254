import type { DataColumns, FitOutcome, ModelProblem } from '../contract.ts';
import type { Design } from '../design/design.ts';
import { fixedColumns } from '../design/fixed-columns.ts';
import { type ModelData, readModelData } from '../design/model-data.ts';
import { effectColumns, inCoordinates } from '../design/random-columns.ts';
import type { FitOptions } from '../fit-model.ts';
import { fitDesign } from '../linear/fit-design.ts';
import { columnMaker } from './columns-of-cells.ts';
import { designOfEntries } from './design-of-entries.ts';
import { effectExponents, type SumsPlan, termExponents } from './plan-sums.ts';
import { type CellSums, readSums } from './read-sums.ts';
import { standInRows } from './stand-in-rows.ts';

/**
 * Fits a normal model from sums over cells of rows instead of rows: the same estimates, standard errors, degrees of
 * freedom, tests and predictions as `fitModel` gives from the rows, since a normal model takes nothing else from them.
 * The table holds the columns that `sumsColumns(plan)` lists; any engine can make it. Time and memory go with the number
 * of cells, not of rows. Rows left out are counted in the notes (`leftOut` stays empty: there are no row numbers).
 *
 * Digits: a sum of squares about a centre keeps 16 digits less twice the decimal places by which the distance of the
 * centre from the group exceeds the spread inside it. With the centre near the mean, and groups that differ by up to a
 * thousand times the spread inside them, 8 digits and more agree with the fit from rows.
 *
 * Questions that need rows (residuals, influence, bootstrap) throw for such a fit and say so.
 *
 * @example
 * // y = 1, 2, 6
 * const table = { left_out: [0], row_count: [3], centre_1: [0], sum_1: [9], sum_2: [41] };
 * const planned = planSums({ outcome: 'y', fixed: ['intercept'] });
 * const outcome = fitSums(planned.plan, table);
 * outcome.ok && outcome.fit.result.fixed[0]!.estimate // 3
 */
export function fitSums(plan: SumsPlan, table: DataColumns, options: FitOptions = {}): FitOutcome {
  const sums = readSums(plan, table);
  if (!('cells' in sums)) return { ok: false, problems: sums };
  const design = designOfSums(plan, sums);
  if (!('assembled' in design)) return { ok: false, problems: design };
  return fitDesign(design, options.predict ?? false);
}

function designOfSums(plan: SumsPlan, sums: CellSums): Design | readonly ModelProblem[] {
  const { model } = plan;
  const weightless = sums.leftOut.find(({ why }) => why.includes('not above zero'));
  if (weightless)
    return [
      {
        kind: 'not-a-number',
        where: '/weights',
        found: `${weightless.why} in ${weightless.rows} rows`,
        expected: 'weights above zero',
        remedy: 'Leave the weight empty to leave the row out.',
      },
    ];
  const data = readModelData(model, dataOfCells(plan, sums));
  if (!('kept' in data)) return data;
  const { kept, rows: cells } = data;
  const stand = standInRows(plan, sums, cells);
  if ('contradictory' in stand) return contradictions(plan, sums, stand.contradictory);
  const make = columnMaker(plan, sums, cells, kept, stand);
  const { entries, cell, counts } = stand;

  // Over cells, with every number 1, a fixed column is the part of it that is constant in each cell.
  const fixed = fixedColumns(model, kept);
  if (!('names' in fixed)) return fixed;
  const p = fixed.names.length;
  const x = new Float64Array(entries * p);
  const resolution = new Float64Array(p + 1);
  model.fixed.forEach((term, t) => {
    for (const { index } of fixed.effects[t]!.columns) {
      const column =
        term !== 'intercept' && 'within' in term
          ? make.within(term.column, term.within)
          : term !== 'intercept' && 'between' in term
            ? make.between(term.column, term.between)
            : make.product(
                fixed.values.subarray(index * kept.rows, (index + 1) * kept.rows),
                termExponents(term, plan.numbers),
              );
      x.set(column.values, index * entries);
      resolution[index] = column.resolution;
    }
  });
  const ones = new Float64Array(kept.rows).fill(1);
  const outcome = make.product(ones, plan.basis.at(-1)!);
  resolution[p] = outcome.resolution;
  const rows = cells.reduce((sum, place) => sum + sums.counts[place]!, 0);
  const terms = inCoordinates(model, entries, rows, ({ effects }) => {
    const columns = effects.flatMap((effect) =>
      effectColumns(effect, kept).map(({ label, values: inCell }) => ({
        label,
        ...make.product(inCell, effectExponents(effect, plan.numbers)),
      })),
    );
    const stacked = new Float64Array(entries * columns.length);
    columns.forEach((column, j) => {
      stacked.set(column.values, j * entries);
    });
    return {
      effects: columns.map(({ label }) => label),
      stacked,
      resolution: columns.map((column) => column.resolution),
    };
  });
  return designOfEntries(kept, {
    model,
    rows,
    entries,
    rowOf: cell,
    names: fixed.names,
    effects: fixed.effects,
    x,
    outcome: outcome.values,
    terms,
    problems: [],
    counts,
    resolution,
    notes: [...data.notes, ...wordsOfLeftOut(sums, data)],
    logWeights: cells.reduce((sum, place) => sum + sums.logWeights[place]!, 0),
  });
}

/** The cells as data whose keys are those of the cells and whose numbers are all 1. */
function dataOfCells({ model, keys, numbers }: SumsPlan, sums: CellSums): DataColumns {
  const ones = new Float64Array(sums.cells).fill(1);
  const summed = [model.outcome, ...[model.weights, model.offset].flatMap((name) => name ?? []), ...numbers];
  return Object.fromEntries([
    ...summed.map((name) => [name, ones] as const),
    ...keys.map((name, k) => [name, sums.keys[k]!] as const),
  ]);
}

function wordsOfLeftOut(sums: CellSums, data: ModelData): string[] {
  const counts = new Map(sums.leftOut.map(({ why, rows }) => [why, rows]));
  for (const { row, why } of data.leftOut) counts.set(why, (counts.get(why) ?? 0) + sums.counts[row - 1]!);
  return [...counts].map(
    ([why, rows]) => `${rows} ${rows === 1 ? 'row was' : 'rows were'} left out: ${why}.`,
  );
}

function contradictions(plan: SumsPlan, sums: CellSums, cells: readonly number[]): ModelProblem[] {
  const named = cells
    .slice(0, 5)
    .map((cell) => plan.keys.map((key, k) => `${key} ${sums.keys[k]![cell]}`).join(', ') || 'all rows');
  return [
    {
      kind: 'bad-model',
      where: '/',
      found: `sums that no rows can have, in ${cells.length} cells: ${named.join('; ')}`,
      expected: 'squares of sums no larger than the sums of squares allow',
      remedy:
        'Look whether columns of the table have been exchanged, rounded or made with different centres.',
    },
  ];
}
