import { conditionalVariance, type Latent, predictorVariance } from './conditional-variance.ts';
import type { JointData } from './joint-data.ts';

/** Sums over groups. */
export interface GroupSums {
  /** Log determinants of both conditional covariances. */
  value: number;
  /** [Z x]' Var(x)^-1 [Z x]. */
  readonly predictor: Float64Array;
  /** C' Var(y | x)^-1 C for the base columns C. */
  readonly outcome: Float64Array;
}

/**
 * Adds one group (rows from ... to - 1) to the sums. Writes the base columns
 *   [deviations of (I - K) Z | means of (I - K) Z | deviation of K x | mean of K x | Z | y],
 * K being Cov(xi, x) Var(x)^-1, so that xi's conditional mean is Z alpha + K (x - Z alpha).
 */
export function accumulateGroup(
  data: JointData,
  latent: Latent,
  from: number,
  to: number,
  base: Float64Array,
  sums: GroupSums,
): boolean {
  const { otherCount: p, others, predictor, errorVariance } = data;
  const width = 3 * p + 3;
  const n = to - from;
  const { own, reliability, precision, shared } = predictorVariance(latent, errorVariance, from, to);
  for (let i = 0; i < n; i++) sums.value += Math.log(own[i]!);
  sums.value += Math.log1p(latent.between ** 2 * precision);

  const columns = p + 1;
  const column = (i: number, j: number) => (j < p ? others[(from + i) * p + j]! : predictor[from + i]!);
  const scaledSum = new Float64Array(columns);
  for (let i = 0; i < n; i++)
    for (let j = 0; j < columns; j++) {
      const scaled = column(i, j) / own[i]!;
      scaledSum[j] = scaledSum[j]! + scaled;
      for (let l = 0; l < columns; l++)
        sums.predictor[j * columns + l] = sums.predictor[j * columns + l]! + scaled * column(i, l);
    }
  for (let j = 0; j < columns; j++)
    for (let l = 0; l < columns; l++)
      sums.predictor[j * columns + l] =
        sums.predictor[j * columns + l]! - shared * scaledSum[j]! * scaledSum[l]!;

  for (let j = 0; j < columns; j++) {
    const common = shared * scaledSum[j]!;
    const to1 = j < p ? j : 2 * p;
    const to2 = j < p ? p + j : 2 * p + 1;
    let mean = 0;
    for (let i = 0; i < n; i++) {
      const predicted = common + reliability[i]! * (column(i, j) - common);
      const value = j < p ? column(i, j) - predicted : predicted;
      base[(from + i) * width + to1] = value;
      mean += value / n;
    }
    for (let i = 0; i < n; i++) {
      const at = (from + i) * width;
      base[at + to1] = base[at + to1]! - mean;
      base[at + to2] = mean;
    }
  }

  const variance = conditionalVariance(data, latent, from, to);
  if (!variance) return false;
  sums.value += variance.logDeterminant;
  const { h, directions, rank, middle } = variance;
  const along = new Float64Array(rank * width);
  for (let i = 0; i < n; i++) {
    const at = (from + i) * width;
    for (let a = 0; a < width; a++) {
      const scaled = base[at + a]! / h[i]!;
      if (scaled === 0) continue;
      for (let b = 0; b <= a; b++)
        sums.outcome[a * width + b] = sums.outcome[a * width + b]! + scaled * base[at + b]!;
      for (let r = 0; r < rank; r++)
        along[r * width + a] = along[r * width + a]! + scaled * directions[i * rank + r]!;
    }
  }
  for (let r = 0; r < rank; r++)
    for (let s = 0; s < rank; s++) {
      const weight = middle[r * rank + s]!;
      if (weight === 0) continue;
      for (let a = 0; a < width; a++)
        for (let b = 0; b <= a; b++)
          sums.outcome[a * width + b] =
            sums.outcome[a * width + b]! - weight * along[r * width + a]! * along[s * width + b]!;
    }
  for (let a = 0; a < width; a++)
    for (let b = a + 1; b < width; b++) sums.outcome[a * width + b] = sums.outcome[b * width + a]!;
  return true;
}
