import { leastSquares, orthogonalColumns } from '../../../numerics/index.ts';
import type { Model, ModelProblem } from '../contract.ts';
import { assembleSystem } from '../linear/assemble-system.ts';
import { crossedProblems } from './crossed-problems.ts';
import type { Design } from './design.ts';
import { collinearProblems, crowdedProblems } from './design-problems.ts';
import type { FixedEffect } from './fixed-columns.ts';
import { type Grouping, groupNameOf, type RandomColumns } from './random-columns.ts';

/** The columns of a model, weights and offset applied. An entry is a row of data, or stands in for rows (sums/). */
export interface ModelColumns {
  readonly model: Model;
  /** Rows of data behind the entries. */
  readonly rows: number;
  readonly entries: number;
  readonly names: readonly string[];
  readonly effects: readonly FixedEffect[];
  /** Fixed columns, column after column. */
  readonly x: Float64Array;
  readonly outcome: Float64Array;
  readonly groupings: readonly Grouping[];
  readonly terms: readonly RandomColumns[] | readonly ModelProblem[];
  /** What is known to be wrong already: everything is reported at once. */
  readonly problems: readonly ModelProblem[];
  /** How many rows each entry counts for; null where that is one. */
  readonly counts: Float64Array | null;
  /**
   * For each fixed column and then the outcome the length below which what is left of it beside the columns before it
   * is rounding error; null where the entries hold full double precision.
   */
  readonly resolution: Float64Array | null;
}

type Frame = { readonly start: Float64Array; readonly scale: number; readonly unexplained: Float64Array };

export type FramedColumns = Omit<
  Design,
  'leftOut' | 'notes' | 'kept' | 'keptRows' | 'logWeights' | 'frameOutcome'
> & {
  readonly frame: (outcome: Float64Array) => Frame | null;
};

/** The coordinates of the fit and the cross products in them, or, all at once, what is wrong with the columns. */
export function frameColumns({
  model,
  rows,
  entries,
  names,
  effects,
  x,
  outcome,
  groupings,
  terms,
  problems: known,
  counts,
  resolution,
}: ModelColumns): FramedColumns | readonly ModelProblem[] {
  const problems = [...known];
  const p = names.length;
  const decomposition = orthogonalColumns(x, entries, p);
  const dependent = names.flatMap((_, j) =>
    decomposition.r[j * p + j]! > (resolution?.[j] ?? 0) ? [] : [j],
  );
  problems.push(...collinearProblems({ ...decomposition, dependent }, names, effects, x, entries));
  if (problems.length === 0 && rows <= p)
    problems.push({
      kind: 'too-many-effects',
      where: '/fixed',
      found: `${p} fixed effects for ${rows} usable rows`,
      expected: 'more rows than effects',
      remedy: 'Take terms out or add data.',
    });
  for (const grouping of groupings)
    if (grouping.levels.length < 2)
      problems.push({
        kind: 'one-level',
        where: `/random/${(model.random ?? []).findIndex((term) => groupNameOf(term) === grouping.name)}/group`,
        found: `only ${grouping.levels[0]} in ${grouping.name}`,
        expected: 'at least two levels, better six or more',
        remedy: 'Take the random term out: how levels differ cannot be learnt from one.',
      });
  if (!isColumns(terms)) return [...problems, ...terms];
  problems.push(...crowdedProblems(terms, groupings, rows, counts));
  if (problems.length > 0) return problems;

  // A mixed model only starts from least squares; without random terms it is the answer.
  const frame = (y: Float64Array): Frame | null => {
    const fit = leastSquares(x, y, p, decomposition, terms.length > 0 ? 0 : 3);
    let square = 0;
    for (let i = 0; i < entries; i++) square += y[i]! * y[i]!;
    const scale = Math.sqrt(fit.residualSumOfSquares / rows);
    const least = Math.max(1e-14 * Math.sqrt(square / rows), (resolution?.[p] ?? 0) / Math.sqrt(rows));
    if (!(scale > least)) return null;
    return { start: fit.coefficients, scale, unexplained: times(fit.residuals, 1 / scale) };
  };
  const framed = frame(outcome);
  if (!framed)
    return [
      {
        kind: 'constant-outcome',
        where: '/outcome',
        found: `${model.outcome}, which the fixed effects reproduce exactly`,
        expected: 'an outcome that varies around the fixed effects',
        remedy: 'Check that the outcome is not computed from the columns that explain it.',
      },
    ];
  const root = Math.sqrt(rows);
  const scaled = times(decomposition.q, root);
  const assembled = assembleSystem(entries, scaled, p, groupings, terms, rows);
  const tooLarge = crossedProblems(assembled.system, groupings);
  if (tooLarge.length > 0) return tooLarge;
  assembled.fillOutcome(framed.unexplained);
  return {
    model,
    rows,
    fixedNames: names,
    fixedEffects: effects,
    groupings,
    terms,
    assembled,
    columns: { fixed: scaled, outcome: framed.unexplained },
    upper: times(decomposition.r, 1 / root),
    start: framed.start,
    outcomeScale: framed.scale,
    frame,
  };
}

function times(values: Float64Array, factor: number): Float64Array {
  const out = new Float64Array(values.length);
  for (let i = 0; i < out.length; i++) out[i] = values[i]! * factor;
  return out;
}

function isColumns(
  terms: readonly RandomColumns[] | readonly ModelProblem[],
): terms is readonly RandomColumns[] {
  return terms.every((term) => 'toModel' in term);
}
