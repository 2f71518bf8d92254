import type { ModelProblem } from '../contract.ts';
import type { JointData } from './joint-data.ts';

/** Moment estimates of the true predictor's variances, given the other columns. */
export interface PredictorMoments {
  readonly within: number;
  readonly between: number;
  /** Mean squared measurement SD. */
  readonly error: number;
}

/**
 * Analysis of variance of the predictor's least-squares residuals on the other columns: the mean squares within and
 * between groups, less the measurement variance. A problem where the stated error is larger than what was found.
 * Source: Searle, Casella and McCulloch (1992), Variance Components, section 3.6 (unbalanced one-way classification).
 */
export function predictorMoments(data: JointData, column: string): PredictorMoments | ModelProblem {
  const { rows, first, grouped, others, otherCount: p, predictor, errorVariance, terms } = data;
  const residual = Float64Array.from(predictor);
  for (let j = 0; j < p; j++) {
    let slope = 0;
    for (let i = 0; i < rows; i++) slope += (others[i * p + j]! * predictor[i]!) / rows;
    for (let i = 0; i < rows; i++) residual[i] = residual[i]! - slope * others[i * p + j]!;
  }
  const error = errorVariance.reduce((sum, variance) => sum + variance, 0) / rows;
  const groups = first.length - 1;
  let inside = 0;
  let amongMeans = 0;
  let squares = 0;
  for (let g = 0; g < groups; g++) {
    const n = first[g + 1]! - first[g]!;
    const mean = residual.subarray(first[g]!, first[g + 1]!).reduce((sum, value) => sum + value, 0) / n;
    for (let i = first[g]!; i < first[g + 1]!; i++) inside += (residual[i]! - mean) ** 2;
    amongMeans += n * mean * mean;
    squares += n * n;
  }
  let within: number;
  let between = 0;
  let spread: number;
  if (grouped && rows > groups) {
    spread = inside / (rows - groups);
    within = spread - error;
    const typical = (rows - squares / rows) / (groups - 1);
    between = (amongMeans / Math.max(1, groups - 1) - spread) / typical;
  } else {
    spread = amongMeans / Math.max(1, rows - p);
    within = spread - error;
  }
  const onlyMeans = terms.every(({ onDeviation }) => onDeviation === 0);
  const groupSize = rows / groups;
  const enough = onlyMeans ? between + within / groupSize > 0 : within > 1e-6 * spread;
  if (enough) return { within: Math.max(within, 1e-3 * spread), between: Math.max(between, 0), error };
  const shown = (variance: number) => Number(Math.sqrt(variance).toPrecision(4));
  return {
    kind: 'bad-model',
    where: `/errorSd/${column}`,
    found: onlyMeans
      ? `a measurement SD of ${shown(error)}, which alone explains how the group means of ${column} differ`
      : `a measurement SD of ${shown(error)} where ${column} itself varies with an SD of ${shown(spread)}${grouped ? ' inside the groups' : ' around what the other columns say'}`,
    expected: 'a measurement SD below the spread of the column',
    remedy:
      'Check the unit of the SD and what it is the SD of (one swing, or the mean of several); if it is right, these data hold no true differences to relate to the outcome.',
  };
}
