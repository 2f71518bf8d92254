import { type CurveScores, scoresInto } from './question.ts';

/** A t statistic at every node of a grid, and what it is made of. */
export interface TField {
  readonly degreesOfFreedom: number;
  /** Mean, difference or slope at each node. */
  readonly effect: Float64Array;
  readonly standardError: Float64Array;
  /** 0 where nothing varies and nothing differs; infinite where rows differ from zero without any variation. */
  readonly t: Float64Array;
  /** rows x nodes, from least squares. */
  readonly residuals: Float64Array;
}

/**
 * The t field of a question: at each node the ordinary least-squares t.
 *
 * @example tField(curveScores(curvesFrom([[1], [2], [3]]), { kind: 'one-sample' })).t[0] // 3.4641: 2 / (1 / sqrt(3))
 */
export function tField(scores: CurveScores): TField {
  const { rows, nodes, weights, sumOfSquaredWeights, values, degreesOfFreedom } = scores;
  const effect = new Float64Array(nodes);
  scoresInto(scores, weights, effect);
  for (let q = 0; q < nodes; q++) effect[q]! /= sumOfSquaredWeights;
  const residuals = new Float64Array(rows * nodes);
  const standardError = new Float64Array(nodes);
  for (let j = 0, i = 0; j < rows; j++)
    for (let q = 0; q < nodes; q++, i++) {
      const residual = values[i]! - weights[j]! * effect[q]!;
      residuals[i] = residual;
      standardError[q]! += residual * residual;
    }
  for (let q = 0; q < nodes; q++)
    standardError[q] = Math.sqrt(standardError[q]! / degreesOfFreedom / sumOfSquaredWeights);
  const t = effect.map((value, q) => (value === 0 ? 0 : value / standardError[q]!));
  return { degreesOfFreedom, effect, standardError, t, residuals };
}
