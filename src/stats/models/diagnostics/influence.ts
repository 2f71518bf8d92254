import {
  choleskyInPlace,
  logDeterminantOfFactor,
  solveLower,
  solveLowerTransposed,
  solveUpper,
} from '../../../numerics/index.ts';
import type { Fit } from '../contract.ts';
import { type FittedDesign, stateOf } from '../linear/fitted-design.ts';
import { type PartSums, partSums } from './part-sums.ts';
import { groupedRows } from './parts.ts';
import { scoringStep } from './scoring-step.ts';
import {
  fittedVariances,
  type PartProducts,
  partProducts,
  type Variances,
  weighted,
  withoutRows,
} from './weighted-part.ts';

/** Crossed groups are solved anew for each level, as one dense part: more effects than these would take minutes. */
const MOST_SHARED_EFFECTS = 1000;

/** What the fit would be without one level of a group. */
export interface LevelInfluence {
  readonly level: string;
  readonly rows: number;
  /** Null where something can be said; otherwise why nothing can. All numbers are null then. */
  readonly problem: string | null;
  /** Fixed effects without the level, the variance parameters kept: exact. In the order of the result's `fixed`. */
  readonly estimates: readonly number[] | null;
  /** Estimates with the level minus without it. */
  readonly changes: readonly number[] | null;
  /** changes' C^-1 changes / p, C being the covariance of the fixed effects in the whole fit (Cook's distance). */
  readonly distance: number | null;
  /** Determinant of the fixed effects' covariance without the level over that with it, variances kept. */
  readonly covarianceRatio: number | null;
  /** After one scoring step of the variance parameters: a first-order account of refitting them. */
  readonly oneStep: {
    readonly estimates: readonly number[];
    readonly changes: readonly number[];
    readonly residualSd: number;
  } | null;
}

/**
 * How much each level of a group (each golfer, say) carries the answer: the fixed effects without it, from the sums
 * of the whole fit less its own, without fitting again. `by` is a group of the model (the outermost unless
 * named) or one label for each usable row. Where levels share random effects with others (crossed groups) the sums
 * are formed anew for each level.
 * Throws for a fit that is not of a normal outcome with independent residuals, when `by` does not belong to it,
 * or for more than 1,000 effects of groups whose levels share rows with several of `by`.
 * Sources: Cook (1977), Technometrics 19, 15-18; Christensen, Pearson and Johnson (1992), Technometrics 34,
 * 38-45 (mixed models, one-step variances).
 *
 * @example influence(fit, ['a', 'b', 'c'])[2]!.estimates // [1.5]: the mean of 1 and 2, without the 6
 */
export function influence(fit: Fit, by?: string | readonly string[]): LevelInfluence[] {
  const state = stateOf(fit);
  if (!state || state.residual)
    throw new Error(
      'influence: only fits of a normal outcome with independent residuals can be asked for it',
    );
  const { levels, rows, independent } = groupedRows('influence', state, by);
  const { design } = state;
  const kinds = design.terms.map(({ kind }) => kind);
  const variances = fittedVariances(state);
  const everything = Array.from({ length: design.rows }, (_, i) => i);
  const effects = design.terms.reduce(
    (sum, { group, effects: { length } }) =>
      sum + length * design.groupings.find(({ name }) => name === group)!.levels.length,
    0,
  );
  if (!independent && effects > MOST_SHARED_EFFECTS)
    throw new Error(
      `influence: ${effects} effects of crossed groups are too many to solve anew for each level; at most ${MOST_SHARED_EFFECTS} can be asked for`,
    );
  const parts = independent
    ? rows.map((list) => partProducts(state, list))
    : [partProducts(state, everything)];
  const sums = parts.map((part) => partSums(part, variances, kinds));
  const total = addSums(sums);
  const whole = solve(total.inner, design.fixedNames.length)!;
  return levels.map((level, l) => {
    const own = rows[l]!;
    const nothing = {
      level,
      rows: own.length,
      estimates: null,
      changes: null,
      distance: null,
      covarianceRatio: null,
      oneStep: null,
    };
    const left: readonly PartProducts[] = independent
      ? parts.filter((_, part) => part !== l)
      : [withoutRows(parts[0]!, partProducts(state, own, everything))];
    const leftSums = independent ? subtract(total, sums[l]!) : partSums(left[0]!, variances, kinds);
    const found = solve(leftSums.inner, design.fixedNames.length);
    if (!found || design.rows - own.length <= design.fixedNames.length)
      return {
        ...nothing,
        problem: `Without ${level} the rows left do not tell the fixed effects apart.`,
      };
    const stepped = scoringStep(state, leftSums, found, variances, design.rows - own.length);
    const again = stepped && solve(innerAt(left, stepped), design.fixedNames.length);
    const { estimates, changes } = named(state, whole, found);
    return {
      level,
      rows: own.length,
      problem: null,
      estimates,
      changes,
      distance: distance(total.inner, whole, found),
      covarianceRatio: Math.exp(whole.logDeterminant - found.logDeterminant),
      oneStep:
        stepped && again
          ? { ...named(state, whole, again), residualSd: Math.sqrt(stepped.residual) * design.outcomeScale }
          : null,
    };
  });
}

export interface Solved {
  readonly beta: Float64Array;
  /** Cholesky factor of X'V^-1 X, p x p. */
  readonly factor: Float64Array;
  readonly logDeterminant: number;
}

/** Fixed effects from U'V^-1 U; null where they cannot be told apart. */
function solve(inner: Float64Array, p: number): Solved | null {
  const D = p + 1;
  const factor = new Float64Array(p * p);
  const beta = new Float64Array(p);
  let largest = 0;
  for (let a = 0; a < p; a++) {
    for (let b = 0; b < p; b++) factor[a * p + b] = inner[a * D + b]!;
    beta[a] = inner[a * D + p]!;
    largest = Math.max(largest, inner[a * D + a]!);
  }
  if (!choleskyInPlace(factor, p)) return null;
  for (let a = 0; a < p; a++) if (factor[a * p + a]! ** 2 < 1e-9 * largest) return null;
  solveLower(factor, p, beta);
  solveLowerTransposed(factor, p, beta);
  return { beta, factor, logDeterminant: logDeterminantOfFactor(factor, p) };
}

function named({ design }: FittedDesign, whole: Solved, without: Solved) {
  const p = design.fixedNames.length;
  const back = (beta: Float64Array): Float64Array => {
    const out = beta.map((value) => value * design.outcomeScale);
    solveUpper(design.upper, p, out);
    return out;
  };
  const estimates = Array.from(back(without.beta), (value, a) => design.start[a]! + value);
  const changes = Array.from(back(whole.beta.map((value, a) => value - without.beta[a]!)));
  return { estimates, changes };
}

function distance(inner: Float64Array, whole: Solved, without: Solved): number {
  const p = whole.beta.length;
  let sum = 0;
  for (let a = 0; a < p; a++)
    for (let b = 0; b < p; b++)
      sum +=
        (whole.beta[a]! - without.beta[a]!) * inner[a * (p + 1) + b]! * (whole.beta[b]! - without.beta[b]!);
  return sum / p;
}

function innerAt(parts: readonly PartProducts[], variances: Variances): Float64Array {
  const out = new Float64Array(parts[0]!.uu.length);
  for (const part of parts) {
    const { inner } = weighted(part, variances);
    for (let i = 0; i < out.length; i++) out[i] = out[i]! + inner[i]!;
  }
  return out;
}

function merge(a: PartSums, b: PartSums, sign: 1 | -1): PartSums {
  const both = (x: Float64Array, y: Float64Array) => x.map((value, i) => value + sign * y[i]!);
  return {
    inner: both(a.inner, b.inner),
    by: a.by.map((matrix, i) => both(matrix, b.by[i]!)),
    byTwo: a.byTwo.map((matrix, i) => both(matrix, b.byTwo[i]!)),
    traces: both(a.traces, b.traces),
    tracesByTwo: both(a.tracesByTwo, b.tracesByTwo),
  };
}
const addSums = (sums: readonly PartSums[]): PartSums => sums.reduce((a, b) => merge(a, b, 1));
const subtract = (a: PartSums, b: PartSums): PartSums => merge(a, b, -1);
