import type { JointData } from './joint-data.ts';

/** The true predictor's spread and how it reaches the outcome. */
export interface Latent {
  /** SD of the true predictor inside groups, and between them. */
  readonly within: number;
  readonly between: number;
  readonly residual: number;
  /** Covariance of the random effects, square. */
  readonly covariance: Float64Array;
  /** Slope of the outcome on the true predictor's deviation from its group mean, and on that mean. */
  readonly onDeviation: number;
  readonly onMean: number;
}

/** Sums over groups. */
export interface GroupSums {
  /** Log determinants of both conditional covariances. */
  value: number;
  /** [Z x]' Var(x)^-1 [Z x]. */
  readonly predictor: Float64Array;
  /** C' Var(y | x)^-1 C for the base columns C. */
  readonly outcome: Float64Array;
}

/** The inverse of Var(y | x) in one group is diag(1 / h) - diag(1 / h) U N U' diag(1 / h). */
export interface ConditionalVariance {
  readonly h: Float64Array;
  /** rows x rank, row-major: 1, the conditional variances of xi, its shared direction, the random effects. */
  readonly directions: Float64Array;
  readonly rank: number;
  readonly middle: Float64Array;
  readonly logDeterminant: number;
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
  const { own, reliability, shared } = predictorVariance(latent, errorVariance, from, to);
  for (let i = 0; i < n; i++) sums.value += Math.log(own[i]!);
  sums.value += Math.log1p(latent.between ** 2 * own.reduce((sum, s) => sum + 1 / s, 0));

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

/** Var(x) = diag(own) + between^2 1 1', whose inverse is diag(1 / own) - shared (1 / own)(1 / own)'. */
function predictorVariance(
  { within, between }: Latent,
  errorVariance: Float64Array,
  from: number,
  to: number,
): { own: Float64Array; reliability: Float64Array; shared: number } {
  const own = Float64Array.from({ length: to - from }, (_, i) => within ** 2 + errorVariance[from + i]!);
  const precision = own.reduce((sum, s) => sum + 1 / s, 0);
  return {
    own,
    reliability: own.map((s) => within ** 2 / s),
    shared: between ** 2 / (1 + between ** 2 * precision),
  };
}

/** Var(y | x) of one group; null where it is not positive definite. */
export function conditionalVariance(
  data: JointData,
  latent: Latent,
  from: number,
  to: number,
): ConditionalVariance | null {
  const { errorVariance, relativeVariance, random, randomCount: q } = data;
  const { onDeviation: w, onMean: b, covariance } = latent;
  const n = to - from;
  const { reliability, shared } = predictorVariance(latent, errorVariance, from, to);
  const rank = 3 + q;
  const h = new Float64Array(n);
  const directions = new Float64Array(n * rank);
  let missing = 0;
  for (let i = 0; i < n; i++) missing += (1 - reliability[i]!) / n;
  let total = 0;
  let logDeterminant = 0;
  for (let i = 0; i < n; i++) {
    // Conditional variance of xi's deviation given x and the group effect.
    const left = reliability[i]! * errorVariance[from + i]!;
    total += left;
    h[i] = latent.residual ** 2 * relativeVariance[from + i]! + w * w * left;
    logDeterminant += Math.log(h[i]!);
    const at = i * rank;
    directions[at] = 1;
    directions[at + 1] = left;
    directions[at + 2] = w * (1 - reliability[i]! - missing) + b * missing;
    for (let a = 0; a < q; a++) directions[at + 3 + a] = random[(from + i) * q + a]!;
  }
  const spread = new Float64Array(rank * rank);
  spread[0] = ((b - w) / n) ** 2 * total;
  spread[1] = (w * (b - w)) / n;
  spread[rank] = spread[1]!;
  spread[2 * rank + 2] = shared;
  for (let a = 0; a < q; a++)
    for (let c = 0; c < q; c++) spread[(3 + a) * rank + 3 + c] = covariance[a * q + c]!;
  const P = new Float64Array(rank * rank);
  for (let i = 0; i < n; i++)
    for (let r = 0; r < rank; r++) {
      const scaled = directions[i * rank + r]! / h[i]!;
      for (let s = 0; s < rank; s++) P[r * rank + s] = P[r * rank + s]! + scaled * directions[i * rank + s]!;
    }
  // (I + S P) N = S.
  const left = new Float64Array(rank * rank);
  for (let r = 0; r < rank; r++)
    for (let s = 0; s < rank; s++) {
      let sum = r === s ? 1 : 0;
      for (let l = 0; l < rank; l++) sum += spread[r * rank + l]! * P[l * rank + s]!;
      left[r * rank + s] = sum;
    }
  const logMiddle = eliminateInPlace(left, spread, rank);
  if (logMiddle === null) return null;
  return { h, directions, rank, middle: spread, logDeterminant: logDeterminant + logMiddle };
}

/** Gauss elimination with row pivoting: `b` becomes A^-1 B, and log det A is returned; null where it is not above 0. */
function eliminateInPlace(a: Float64Array, b: Float64Array, n: number): number | null {
  let log = 0;
  let sign = 1;
  for (let c = 0; c < n; c++) {
    let pivot = c;
    for (let r = c + 1; r < n; r++) if (Math.abs(a[r * n + c]!) > Math.abs(a[pivot * n + c]!)) pivot = r;
    if (pivot !== c) {
      sign = -sign;
      for (const matrix of [a, b])
        for (let j = 0; j < n; j++) {
          const held = matrix[c * n + j]!;
          matrix[c * n + j] = matrix[pivot * n + j]!;
          matrix[pivot * n + j] = held;
        }
    }
    const head = a[c * n + c]!;
    if (head === 0 || !Number.isFinite(head)) return null;
    if (head < 0) sign = -sign;
    log += Math.log(Math.abs(head));
    for (let r = 0; r < n; r++) {
      if (r === c) continue;
      const factor = a[r * n + c]! / head;
      if (factor === 0) continue;
      for (let j = 0; j < n; j++) {
        a[r * n + j] = a[r * n + j]! - factor * a[c * n + j]!;
        b[r * n + j] = b[r * n + j]! - factor * b[c * n + j]!;
      }
    }
    for (let j = 0; j < n; j++) {
      a[c * n + j] = a[c * n + j]! / head;
      b[c * n + j] = b[c * n + j]! / head;
    }
  }
  return sign > 0 ? log : null;
}
