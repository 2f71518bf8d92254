import type { LevelPrediction } from '../contract.ts';
import type { Design } from '../design/design.ts';
import { congruent } from '../linear/random-estimates.ts';
import { conditionalVariance } from './conditional-variance.ts';
import type { JointData } from './joint-data.ts';
import type { JointInference } from './joint-inference.ts';
import type { JointParameters } from './joint-parameters.ts';

/**
 * Each level's random effects given outcome and measured predictor: G R' Var(y | x)^-1 (y - E(y | x)), with the
 * covariance G - G R' Var(y | x)^-1 R G, at the estimates.
 */
export function effectPredictions(
  design: Design,
  data: JointData,
  parameters: JointParameters,
  { point }: JointInference,
): LevelPrediction[] {
  const { first, randomCount: q, random, randomTerms, outcomeScale } = data;
  const { covariance } = parameters;
  if (q === 0) return [];
  const perTerm = randomTerms.map((): LevelPrediction[] => []);
  for (let g = 0; g + 1 < first.length; g++) {
    const from = first[g]!;
    const to = first[g + 1]!;
    const residual = conditionalResiduals(data, parameters, point.coefficients, from, to);
    const { h, directions, rank, middle } = conditionalVariance(data, parameters, from, to)!;
    // R' V^-1 [e R] with V^-1 = diag(1 / h) - diag(1 / h) U N U' diag(1 / h).
    const width = q + 1;
    const column = (i: number, j: number) => (j < q ? random[(from + i) * q + j]! : residual[i]!);
    const products = new Float64Array(width * width);
    const along = new Float64Array(rank * width);
    for (let i = 0; i < to - from; i++)
      for (let a = 0; a < width; a++) {
        const scaled = column(i, a) / h[i]!;
        for (let b = 0; b < width; b++)
          products[a * width + b] = products[a * width + b]! + scaled * column(i, b);
        for (let r = 0; r < rank; r++)
          along[r * width + a] = along[r * width + a]! + scaled * directions[i * rank + r]!;
      }
    for (let r = 0; r < rank; r++)
      for (let s = 0; s < rank; s++)
        for (let a = 0; a < width; a++)
          for (let b = 0; b < width; b++)
            products[a * width + b] =
              products[a * width + b]! -
              middle[r * rank + s]! * along[r * width + a]! * along[s * width + b]!;
    const mean = new Float64Array(q);
    const left = Float64Array.from(covariance);
    for (let a = 0; a < q; a++)
      for (let b = 0; b < q; b++) {
        mean[a] = mean[a]! + covariance[a * q + b]! * products[b * width + q]!;
        for (let c = 0; c < q; c++)
          for (let d = 0; d < q; d++)
            left[a * q + d] =
              left[a * q + d]! - covariance[a * q + b]! * products[b * width + c]! * covariance[c * q + d]!;
      }
    let at = 0;
    randomTerms.forEach(({ group, effects, toModel }, t) => {
      const size = effects.length;
      const inner = new Float64Array(size * size);
      for (let a = 0; a < size; a++)
        for (let b = 0; b < size; b++) inner[a * size + b] = left[(at + a) * q + at + b]! * outcomeScale ** 2;
      const conditional = congruent(toModel, inner, size);
      const values = effects.map((_, a) => {
        let sum = 0;
        for (let b = 0; b < size; b++) sum += toModel[a * size + b]! * mean[at + b]!;
        return sum * outcomeScale;
      });
      const rows = effects.map((_, a) => effects.map((__, b) => conditional[a * size + b]!));
      perTerm[t]!.push({
        group,
        level: design.groupings[0]!.levels[g]!,
        effects,
        values,
        conditionalSd: rows.map((row, a) => Math.sqrt(Math.max(0, row[a]!))),
        conditionalCovariance: rows,
      });
      at += size;
    });
  }
  return perTerm.flat();
}

/** y less its mean given x, at the coefficients of the other columns. */
function conditionalResiduals(
  data: JointData,
  { within, between, onDeviation, onMean }: JointParameters,
  coefficients: Float64Array,
  from: number,
  to: number,
): Float64Array {
  const { otherCount: p, others, predictor, outcome, errorVariance } = data;
  const n = to - from;
  const expected = new Float64Array(n);
  const surprise = new Float64Array(n);
  let precision = 0;
  let sum = 0;
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < p; j++) expected[i] = expected[i]! + others[(from + i) * p + j]! * coefficients[j]!;
    surprise[i] = predictor[from + i]! - expected[i]!;
    const own = within ** 2 + errorVariance[from + i]!;
    precision += 1 / own;
    sum += surprise[i]! / own;
  }
  const common = (between ** 2 * sum) / (1 + between ** 2 * precision);
  let mean = 0;
  for (let i = 0; i < n; i++) {
    const reliability = within ** 2 / (within ** 2 + errorVariance[from + i]!);
    expected[i] = expected[i]! + common + reliability * (surprise[i]! - common);
    mean += expected[i]! / n;
  }
  return Float64Array.from({ length: n }, (_, i) => {
    let residual = outcome[from + i]! - onDeviation * (expected[i]! - mean) - onMean * mean;
    for (let j = 0; j < p; j++) residual -= others[(from + i) * p + j]! * coefficients[p + j]!;
    return residual;
  });
}
