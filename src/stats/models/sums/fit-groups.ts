import type { DataColumns, FitOutcome, Model, ModelProblem } from '../contract.ts';
import type { Design } from '../design/design.ts';
import { fixedColumns } from '../design/fixed-columns.ts';
import { readModelData } from '../design/model-data.ts';
import { effectColumns, inCoordinates } from '../design/random-columns.ts';
import type { FitOptions } from '../fit-model.ts';
import { fitDesign } from '../linear/fit-design.ts';
import { designOfEntries } from './design-of-entries.ts';
import { sumsProblems } from './sums-problems.ts';

/** What is known of the outcome in groups of rows that agree in every other column of the model. */
export interface OutcomeSums {
  /** Rows of each group, above zero. */
  readonly counts: ArrayLike<number>;
  /** Mean of the outcome over them. */
  readonly means: ArrayLike<number>;
  /** Sum of the squares of the outcome's departures from that mean. */
  readonly squares: ArrayLike<number>;
}

/**
 * Fits a normal model whose columns are constant in groups of rows from the count, mean and spread of the outcome in each:
 * the same estimates, standard errors, degrees of freedom, tests and predictions as `fitModel` gives from the rows.
 *
 * A group of n rows with mean m and squares S enters as a row (x, m) times the root of n and a row (0, root S): their cross
 * products are those of its rows (sum of x x' = n x x', of x y = n x m, of y y = n m^2 + S), and a normal model takes
 * nothing else from rows. Nothing is subtracted that is much larger than what is left, so no digits are lost.
 *
 * Questions that need rows (residuals, influence, bootstrap) throw for such a fit and say so. A model that weighs rows, or
 * asks for means over groups or splines, is refused: `fitSums` or `fitModel` answer it.
 *
 * @param data a row for each group, with every column of the model but the outcome
 * @example
 * // y = 1, 2, 6
 * const sums = { counts: [3], means: [3], squares: [14] };
 * const outcome = fitGroups({ outcome: 'y', fixed: ['intercept'] }, {}, sums);
 * outcome.ok && outcome.fit.result.fixed[0]!.estimate // 3
 */
export function fitGroups<Row = Record<string, unknown>>(
  asked: Model<Row>,
  data: DataColumns,
  sums: OutcomeSums,
  options: FitOptions = {},
): FitOutcome {
  const model = asked as unknown as Model;
  const refused = [...sumsProblems(model), ...meansProblems(model)];
  if (refused.length > 0) return { ok: false, problems: refused };
  const design = designOfGroups(model, data, sums);
  if (!('assembled' in design)) return { ok: false, problems: design };
  return fitDesign(design, options.predict ?? false, null, options.near ?? null);
}

function designOfGroups(
  model: Model,
  data: DataColumns,
  sums: OutcomeSums,
): Design | readonly ModelProblem[] {
  const read = readModelData(model, { ...data, [model.outcome]: sums.means });
  if (!('kept' in read)) return read;
  const { kept, rows: groups } = read;
  // The groups' own rows first, then one for the spread inside each group that has any.
  const spread = groups.filter((group) => sums.squares[group]! > 0);
  const place = new Map(Array.from(groups, (group, g) => [group, g] as const));
  const n = groups.length;
  const entries = n + spread.length;
  const groupOf = new Int32Array(entries);
  const counts = new Float64Array(entries);
  const outcome = new Float64Array(entries);
  const roots = new Float64Array(n);
  let rows = 0;
  groups.forEach((group, g) => {
    const count = sums.counts[group]!;
    rows += count;
    roots[g] = Math.sqrt(count);
    groupOf[g] = g;
    counts[g] = count;
    outcome[g] = roots[g]! * sums.means[group]!;
  });
  spread.forEach((group, s) => {
    groupOf[n + s] = place.get(group)!;
    outcome[n + s] = Math.sqrt(sums.squares[group]!);
  });

  const first = sums.means[groups[0]!];
  const problems: ModelProblem[] =
    spread.length === 0 && groups.every((group) => sums.means[group] === first)
      ? [
          {
            kind: 'constant-outcome',
            where: '/outcome',
            found: `${first} in every one of ${rows} rows of ${model.outcome}`,
            expected: 'an outcome that varies',
            remedy: 'Check the column; there is nothing to explain.',
          },
        ]
      : [];
  const fixed = fixedColumns(model, kept);
  if (!('names' in fixed)) return [...problems, ...fixed];
  /** Columns of the groups, one after the other, as columns of the entries. */
  const stacked = (values: ArrayLike<number>, columns: number): Float64Array => {
    const out = new Float64Array(columns * entries);
    for (let c = 0; c < columns; c++)
      for (let g = 0; g < n; g++) out[c * entries + g] = roots[g]! * values[c * n + g]!;
    return out;
  };
  const terms = inCoordinates(model, entries, rows, ({ effects }) => {
    const columns = effects.flatMap((effect) => effectColumns(effect, kept));
    const values = new Float64Array(columns.length * n);
    columns.forEach((column, c) => {
      values.set(column.values, c * n);
    });
    return {
      effects: columns.map(({ label }) => label),
      stacked: stacked(values, columns.length),
      resolution: null,
    };
  });
  return designOfEntries(kept, {
    model,
    rows,
    entries,
    rowOf: groupOf,
    names: fixed.names,
    effects: fixed.effects,
    x: stacked(fixed.values, fixed.names.length),
    outcome,
    terms,
    problems,
    counts,
    resolution: null,
    notes: read.notes,
    logWeights: 0,
  });
}

/** What is taken from all rows together, or rows of unlike weight, is not had from groups of rows. */
function meansProblems(model: Model): ModelProblem[] {
  const problem = (where: string, found: string): ModelProblem => ({
    kind: 'not-available',
    where,
    found,
    expected: 'columns that stand as they are in each group of rows',
    remedy: 'Fit the rows with fitModel, or sums of products with fitSums.',
  });
  return [
    ...(model.weights === undefined ? [] : [problem('/weights', 'weights of rows')]),
    ...(model.offset === undefined ? [] : [problem('/offset', 'an offset of rows')]),
    ...model.fixed.flatMap((term, t) =>
      term !== 'intercept' && ('within' in term || 'between' in term)
        ? [problem(`/fixed/${t}`, 'means over groups')]
        : [],
    ),
  ];
}
