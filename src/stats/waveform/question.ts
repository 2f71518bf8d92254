import type { Curves } from './curves.ts';

/** What is asked of curves at every node. A paired question is `one-sample` of `pairedDifferences`. */
export type CurveQuestion =
  /** Is the mean zero? */
  | { readonly kind: 'one-sample' }
  /** Second group minus first, with one variance for both. */
  | { readonly kind: 'two-sample'; readonly second: readonly boolean[] }
  /** The slope on a number of the row. */
  | { readonly kind: 'regression'; readonly predictor: readonly number[] };

/**
 * A question as a sum of products at each node: S = sum_j w_j y_j. With W = sum w^2 and Y = sum y^2, the effect is
 * S / W and t^2 = df r^2 / (1 - r^2), r^2 = S^2 / (W Y). Where there is an intercept, w and y are centred first
 * (Frisch and Waugh 1933, Econometrica 1:387), so that the two groups and the slope are one case.
 */
export interface CurveScores {
  readonly rows: number;
  readonly nodes: number;
  /** Row weights: 1 for one sample, otherwise centred. */
  readonly weights: Float64Array;
  readonly sumOfSquaredWeights: number;
  /** rows x nodes, centred at each node where there is an intercept. */
  readonly values: Float64Array;
  /** Sum of squares of `values` at each node. */
  readonly squares: Float64Array;
  readonly degreesOfFreedom: number;
  /** What may be exchanged when nothing differs: signs of rows, or rows among weights. */
  readonly exchange: 'signs' | 'rows';
}

/**
 * A question about curves (rows x nodes) made ready for permutation: what the answer at each node is worked out from.
 *
 * @throws RangeError when the question does not fit the curves: rows and labels differ in number, a group is empty,
 *   the predictor does not vary, or too few rows are left for a standard error
 * @example
 * const question = { kind: 'two-sample', second: [false, false, true, true] } as const;
 * const scores = curveScores(curvesFrom([[1], [3], [5], [7]]), question);
 * scores // { weights: [-0.5, -0.5, 0.5, 0.5], values: [-3, -1, 1, 3], squares: [20], degreesOfFreedom: 2, exchange: 'rows', ... }
 */
export function curveScores(curves: Curves, question: CurveQuestion): CurveScores {
  const { rows, nodes } = curves;
  const raw = rawWeights(rows, question);
  const intercept = question.kind !== 'one-sample';
  const weights = intercept ? centred(raw) : raw;
  const sumOfSquaredWeights = weights.reduce((sum, w) => sum + w * w, 0);
  if (!(sumOfSquaredWeights > 0))
    throw new RangeError(
      question.kind === 'two-sample'
        ? 'curveScores: each of the two groups needs a row'
        : 'curveScores: the predictor does not vary',
    );
  const degreesOfFreedom = rows - (intercept ? 2 : 1);
  if (degreesOfFreedom < 1)
    throw new RangeError(`curveScores: ${rows} rows leave no degrees of freedom; ask only with more`);
  const values = Float64Array.from(curves.values);
  if (intercept)
    for (let q = 0; q < nodes; q++) {
      let mean = 0;
      for (let j = 0; j < rows; j++) mean += values[j * nodes + q]!;
      mean /= rows;
      for (let j = 0; j < rows; j++) values[j * nodes + q]! -= mean;
    }
  const squares = new Float64Array(nodes);
  for (let j = 0, i = 0; j < rows; j++)
    for (let q = 0; q < nodes; q++, i++) squares[q]! += values[i]! * values[i]!;
  return {
    rows,
    nodes,
    weights,
    sumOfSquaredWeights,
    values,
    squares,
    degreesOfFreedom,
    exchange: intercept ? 'rows' : 'signs',
  };
}

function rawWeights(rows: number, question: CurveQuestion): Float64Array {
  if (question.kind === 'one-sample') return new Float64Array(rows).fill(1);
  const given = question.kind === 'two-sample' ? question.second.map(Number) : question.predictor;
  if (given.length !== rows)
    throw new RangeError(`curveScores: ${given.length} labels for ${rows} rows; give one for each`);
  if (!given.every(Number.isFinite)) throw new RangeError('curveScores: every label must be finite');
  return Float64Array.from(given);
}

function centred(values: Float64Array): Float64Array {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  return values.map((value) => value - mean);
}

/** S at every node for one arrangement of the weights: four rows at a time, so that each sum is fetched a fourth as often. */
export function scoresInto(scores: CurveScores, weights: ArrayLike<number>, out: Float64Array): void {
  const { rows, nodes, values } = scores;
  out.fill(0);
  let j = 0;
  for (; j + 4 <= rows; j += 4) {
    const [a, b, c, d] = [weights[j]!, weights[j + 1]!, weights[j + 2]!, weights[j + 3]!];
    const first = j * nodes;
    const second = first + nodes;
    const third = second + nodes;
    const fourth = third + nodes;
    for (let q = 0; q < nodes; q++)
      out[q]! +=
        a * values[first + q]! + b * values[second + q]! + c * values[third + q]! + d * values[fourth + q]!;
  }
  for (; j < rows; j++) {
    const w = weights[j]!;
    const first = j * nodes;
    for (let q = 0; q < nodes; q++) out[q]! += w * values[first + q]!;
  }
}
