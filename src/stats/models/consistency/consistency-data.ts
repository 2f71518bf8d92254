import { leastSquares, orthogonalColumns } from '../../../numerics/index.ts';
import type { DataColumns, Model, ModelProblem } from '../contract.ts';
import { collinearProblems } from '../design/design-problems.ts';
import { type FixedColumns, fixedColumns, type KeptData } from '../design/fixed-columns.ts';
import { readModelData } from '../design/model-data.ts';
import { groupingOf } from '../design/random-columns.ts';
import type { ConsistencyModel } from './consistency-model.ts';

/** A part of the model in orthogonal columns of unit size. */
export interface Part {
  readonly names: readonly string[];
  readonly size: number;
  /** rows x size, row-major. */
  readonly columns: Float64Array;
  /** Columns as named = columns x upper. */
  readonly upper: Float64Array;
}

/** Rows sorted by group; the outcome is its least-squares residual in units of `scale`. */
export interface ConsistencyData {
  readonly rows: number;
  readonly groups: readonly string[];
  readonly first: Int32Array;
  readonly outcome: Float64Array;
  readonly scale: number;
  /** Least-squares coefficients of the mean, which the fit only corrects. */
  readonly start: Float64Array;
  readonly mean: Part;
  readonly spread: Part;
  readonly leftOut: readonly { readonly row: number; readonly why: string }[];
  readonly notes: readonly string[];
}

export function consistencyData(
  model: ConsistencyModel,
  data: DataColumns,
): ConsistencyData | readonly ModelProblem[] {
  const { fixed, spread, outcome, group } = model;
  for (const [terms, where] of [
    [fixed, '/fixed'],
    [spread.fixed, '/spread/fixed'],
  ] as const)
    if (terms.length === 0)
      return [
        {
          kind: 'bad-model',
          where,
          found: 'no term',
          expected: 'at least one, usually "intercept"',
          remedy: 'Add "intercept".',
        },
      ];
  if (!spread.fixed.includes('intercept'))
    return [
      {
        kind: 'bad-model',
        where: '/spread/fixed',
        found: 'no "intercept"',
        expected:
          '"intercept" among the terms of the spread: without it the fit would depend on the unit of the outcome',
        remedy: 'Add "intercept".',
      },
    ];
  const random = [{ group, effects: ['intercept'] as const }];
  const placed = (problems: readonly ModelProblem[]) =>
    problems.map((problem) => ({ ...problem, where: placeOf(problem.where, fixed.length) }));
  const read = readModelData({ outcome, fixed: [...fixed, ...spread.fixed], random }, data);
  if (!('kept' in read)) return placed(read);
  const { kept } = read;
  const n = kept.rows;
  const problems: ModelProblem[] = [];
  const y = kept.numbers(outcome);
  if (y.every((value) => value === y[0]))
    problems.push({
      kind: 'constant-outcome',
      where: '/outcome',
      found: `${y[0]} in every one of ${n} rows of ${outcome}`,
      expected: 'an outcome that varies',
      remedy: 'Check the column; there is nothing to explain.',
    });
  const grouping = groupingOf(random[0]!, kept);
  const order = Int32Array.from({ length: n }, (_, i) => i).sort(
    (a, b) => grouping.at[a]! - grouping.at[b]! || a - b,
  );
  const first = new Int32Array(grouping.levels.length + 1);
  for (const level of grouping.at) first[level + 1] = first[level + 1]! + 1;
  const largest = first.reduce((most, size) => Math.max(most, size), 0);
  for (let g = 0; g < grouping.levels.length; g++) first[g + 1] = first[g + 1]! + first[g]!;
  if (grouping.levels.length < 2 || largest < 3)
    problems.push({
      kind: grouping.levels.length < 2 ? 'one-level' : 'too-many-effects',
      where: '/group',
      found:
        grouping.levels.length < 2
          ? `only ${grouping.levels[0]} in ${group}`
          : `${group}, none of whose levels has more than ${largest} rows`,
      expected: 'several levels with at least three rows each, better ten or more',
      remedy: 'Keep the single measurements instead of their means: a spread shows only in repeats.',
    });
  const meanPart = partOf({ outcome, fixed }, kept, order, '/fixed');
  const spreadPart = partOf({ outcome, fixed: spread.fixed }, kept, order, '/spread/fixed');
  if (!('size' in meanPart)) problems.push(...meanPart);
  if (!('size' in spreadPart)) problems.push(...spreadPart);
  if (!('size' in meanPart) || !('size' in spreadPart) || problems.length > 0) return problems;
  const raw = fixedColumns({ outcome, fixed }, kept) as FixedColumns;
  const fit = leastSquares(raw.values, y, meanPart.size);
  const scale = Math.sqrt(fit.residualSumOfSquares / n);
  const size = Math.sqrt(y.reduce((sum, value) => sum + value * value, 0) / n);
  if (!(scale > 1e-12 * size) || n <= meanPart.size + spreadPart.size)
    return [
      {
        kind: 'constant-outcome',
        where: '/outcome',
        found: `${outcome}, which the fixed effects reproduce exactly`,
        expected: 'an outcome that varies around the fixed effects',
        remedy: 'Take terms out, or check that the outcome is not computed from the columns that explain it.',
      },
    ];
  return {
    rows: n,
    groups: grouping.levels,
    first,
    outcome: Float64Array.from(order, (from) => fit.residuals[from]! / scale),
    scale,
    start: fit.coefficients,
    mean: meanPart,
    spread: spreadPart,
    leftOut: read.leftOut,
    notes: read.notes,
  };
}

function partOf(
  model: Model,
  kept: KeptData,
  order: Int32Array,
  where: string,
): Part | readonly ModelProblem[] {
  const moved = (problems: readonly ModelProblem[]) =>
    problems.map((problem) => ({ ...problem, where: problem.where.replace('/fixed', where) }));
  const fixed = fixedColumns(model, kept);
  if (!('names' in fixed)) return moved(fixed);
  const n = kept.rows;
  const size = fixed.names.length;
  const decomposition = orthogonalColumns(fixed.values, n, size);
  const dependent = collinearProblems(decomposition, fixed.names, fixed.effects, fixed.values, n);
  if (dependent.length > 0) return moved(dependent);
  const root = Math.sqrt(n);
  const columns = new Float64Array(n * size);
  order.forEach((from, i) => {
    for (let j = 0; j < size; j++) columns[i * size + j] = decomposition.q[j * n + from]! * root;
  });
  return { names: fixed.names, size, columns, upper: decomposition.r.map((value) => value / root) };
}

/** The terms of both parts are read together: a path into them is led back to its own part. */
function placeOf(where: string, meanTerms: number): string {
  const match = /^\/fixed\/(\d+)(.*)$/.exec(where);
  if (match && Number(match[1]) >= meanTerms)
    return `/spread/fixed/${Number(match[1]) - meanTerms}${match[2]}`;
  return where.replace(/^\/random\/0\/group/, '/group');
}
