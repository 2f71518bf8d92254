import { leastSquares, orthogonalColumns } from '../../numerics/index.ts';
import { type AssembledSystem, assembleSystem } from './assemble-system.ts';
import type { DataColumns, Model, ModelProblem } from './contract.ts';
import { type FixedEffect, fixedColumns } from './fixed-columns.ts';
import { readModelData } from './model-data.ts';
import { problemsOfRequest } from './not-available.ts';
import {
  type Grouping,
  groupingOf,
  groupNameOf,
  type RandomColumns,
  randomColumns,
} from './random-columns.ts';

/**
 * A model and its data made ready to be fitted. The fit is done in coordinates of its own: fixed columns
 * orthogonal, random columns of unit size (random-columns.ts), the outcome replaced by its least-squares
 * residual at unit size. `upper`, `start` and `outcomeScale` lead back.
 */
export interface Design {
  readonly model: Model;
  readonly rows: number;
  readonly leftOut: readonly { readonly row: number; readonly why: string }[];
  readonly notes: readonly string[];
  readonly fixedNames: readonly string[];
  readonly fixedEffects: readonly FixedEffect[];
  readonly groupings: readonly Grouping[];
  readonly terms: readonly RandomColumns[];
  readonly assembled: AssembledSystem;
  /** p x p upper triangle: fitted fixed effects = upper x the effects as named. */
  readonly upper: Float64Array;
  /** Least-squares coefficients, which the fit only corrects. */
  readonly start: Float64Array;
  readonly outcomeScale: number;
  /** Sum of the logarithms of the weights. */
  readonly logWeights: number;
}

/** Builds the design, or says, all at once, what is wrong. */
export function buildDesign(model: Model, data: DataColumns): Design | readonly ModelProblem[] {
  const refused = problemsOfRequest(model);
  if (refused.length > 0) return refused;
  const read = readModelData(model, data);
  if (!('kept' in read)) return read;
  const { kept } = read;
  const n = kept.rows;
  const problems: ModelProblem[] = [];

  const weights = model.weights === undefined ? null : kept.numbers(model.weights);
  const bad = weights ? weights.findIndex((w) => !(w > 0)) : -1;
  if (weights && bad >= 0)
    return [
      {
        kind: 'not-a-number',
        where: '/weights',
        found: `the weight ${weights[bad]} in data row ${read.rows[bad]! + 1}`,
        expected: 'weights above zero',
        remedy: 'Leave the weight empty to leave the row out.',
      },
    ];
  const rootWeights = weights ? weights.map(Math.sqrt) : null;
  const logWeights = weights ? weights.reduce((sum, w) => sum + Math.log(w), 0) : 0;

  const offset = model.offset === undefined ? null : kept.numbers(model.offset);
  const raw = kept.numbers(model.outcome);
  const outcome = raw.map((y, i) => (y - (offset ? offset[i]! : 0)) * (rootWeights ? rootWeights[i]! : 1));
  if (raw.every((y) => y === raw[0]))
    problems.push({
      kind: 'constant-outcome',
      where: '/outcome',
      found: `${raw[0]} in every one of ${n} rows of ${model.outcome}`,
      expected: 'an outcome that varies',
      remedy: 'Check the column; there is nothing to explain.',
    });

  const fixed = fixedColumns(model, kept);
  if (!('names' in fixed)) return [...problems, ...fixed];
  const p = fixed.names.length;
  const x = rootWeights ? fixed.values.map((value, at) => value * rootWeights[at % n]!) : fixed.values;
  const decomposition = orthogonalColumns(x, n, p);
  problems.push(...collinearProblems(decomposition, fixed.names, fixed.effects, x, n));
  if (problems.length === 0 && n <= p)
    problems.push({
      kind: 'too-many-effects',
      where: '/fixed',
      found: `${p} fixed effects for ${n} usable rows`,
      expected: 'more rows than effects',
      remedy: 'Take terms out or add data.',
    });

  const groupings: Grouping[] = [];
  (model.random ?? []).forEach((term, t) => {
    if (groupings.some(({ name }) => name === groupNameOf(term))) return;
    const grouping = groupingOf(term, kept);
    groupings.push(grouping);
    if (grouping.levels.length < 2)
      problems.push({
        kind: 'one-level',
        where: `/random/${t}/group`,
        found: `only ${grouping.levels[0]} in ${grouping.name}`,
        expected: 'at least two levels, better six or more',
        remedy: 'Take the random term out: how levels differ cannot be learnt from one.',
      });
  });
  const terms = randomColumns(model, kept, rootWeights);
  if (!isColumns(terms)) return [...problems, ...terms];
  problems.push(...crowdedProblems(terms, groupings, n));
  if (problems.length > 0) return problems;

  // A mixed model only starts from least squares; without random terms it is the answer.
  const fit = leastSquares(x, outcome, p, decomposition, terms.length > 0 ? 0 : 3);
  const size = Math.sqrt(outcome.reduce((sum, y) => sum + y * y, 0) / n);
  const outcomeScale = Math.sqrt(fit.residualSumOfSquares / n);
  if (!(outcomeScale > 1e-14 * size))
    return [
      {
        kind: 'constant-outcome',
        where: '/outcome',
        found: `${model.outcome}, which the fixed effects reproduce exactly`,
        expected: 'an outcome that varies around the fixed effects',
        remedy: 'Check that the outcome is not computed from the columns that explain it.',
      },
    ];
  const root = Math.sqrt(n);
  const scaled = decomposition.q.map((value) => value * root);
  const assembled = assembleSystem(n, scaled, p, groupings, terms);
  assembled.fillOutcome(fit.residuals.map((e) => e / outcomeScale));
  return {
    model,
    rows: n,
    leftOut: read.leftOut,
    notes: read.notes,
    fixedNames: fixed.names,
    fixedEffects: fixed.effects,
    groupings,
    terms,
    assembled,
    upper: decomposition.r.map((value) => value / root),
    start: fit.coefficients,
    outcomeScale,
    logWeights,
  };
}

function isColumns(terms: RandomColumns[] | readonly ModelProblem[]): terms is RandomColumns[] {
  return terms.every((term) => 'toModel' in term);
}

/** Names each column that depends on earlier ones, and which. */
function collinearProblems(
  { q, r, dependent }: ReturnType<typeof orthogonalColumns>,
  names: readonly string[],
  effects: readonly FixedEffect[],
  x: Float64Array,
  n: number,
): ModelProblem[] {
  const p = names.length;
  return dependent.map((column) => {
    const where = effects.find(({ columns }) => columns.some(({ index }) => index === column))!.where;
    let empty = true;
    for (let i = 0; i < n; i++) if (x[column * n + i] !== 0) empty = false;
    const remedy = 'Take one of them out.';
    if (empty)
      return {
        kind: 'collinear',
        where,
        found: `${names[column]}, which is zero in every usable row`,
        expected: 'a column that varies',
        remedy: 'Take the term out, or check that every combination of levels has rows.',
      };
    // Coefficients of the column on the independent ones before it.
    const coefficients = new Float64Array(p);
    for (let k = column - 1; k >= 0; k--) {
      if (r[k * p + k] === 0) continue;
      let sum = 0;
      for (let i = 0; i < n; i++) sum += q[k * n + i]! * x[column * n + i]!;
      for (let l = k + 1; l < column; l++) sum -= r[k * p + l]! * coefficients[l]!;
      coefficients[k] = sum / r[k * p + k]!;
    }
    const length = (k: number) => Math.hypot(...x.subarray(k * n, (k + 1) * n));
    const whole = length(column);
    const others = names.filter((_, k) => Math.abs(coefficients[k]!) * length(k) > 1e-6 * whole);
    return {
      kind: 'collinear',
      where,
      found: `${names[column]}, which can be computed from ${others.join(', ')}`,
      expected: 'columns none of which follows from the others',
      remedy,
    };
  });
}

/** Groups that hold no more rows than they have effects leave nothing for the residual. */
function crowdedProblems(
  terms: readonly RandomColumns[],
  groupings: readonly Grouping[],
  n: number,
): ModelProblem[] {
  return terms.flatMap((term): ModelProblem[] => {
    const grouping = groupings.find(({ name }) => name === term.group)!;
    const q = term.effects.length;
    if (term.kind === 'diagonal' && q > 1) return [];
    const sizes = new Int32Array(grouping.levels.length);
    for (const level of grouping.at) sizes[level] = sizes[level]! + 1;
    const taken = sizes.reduce((sum, size) => sum + Math.min(size, q), 0);
    if (taken < n) return [];
    return [
      {
        kind: 'too-many-effects',
        where: `${term.where}/effects`,
        found: `${q} random effect${q > 1 ? 's' : ''} (${term.effects.join(', ')}) for each of ${grouping.levels.length} levels of ${term.group}, none of which has more than ${Math.max(...sizes)} row${Math.max(...sizes) > 1 ? 's' : ''}`,
        expected: 'groups with more rows than effects',
        remedy:
          'Name fewer effects, use a coarser group, or keep the single measurements instead of their means.',
      },
    ];
  });
}
