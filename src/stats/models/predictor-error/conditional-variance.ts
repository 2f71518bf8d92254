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

/** The inverse of Var(y | x) in one group is diag(1 / h) - diag(1 / h) U N U' diag(1 / h). */
export interface ConditionalVariance {
  readonly h: Float64Array;
  /** rows x rank, row-major: 1, the conditional variances of xi, its shared direction, the random effects. */
  readonly directions: Float64Array;
  readonly rank: number;
  readonly middle: Float64Array;
  readonly logDeterminant: number;
}

/** Var(x) = diag(own) + between^2 1 1', whose inverse is diag(1 / own) - shared (1 / own)(1 / own)'. */
export function predictorVariance(
  { within, between }: Latent,
  errorVariance: Float64Array,
  from: number,
  to: number,
): { own: Float64Array; reliability: Float64Array; precision: number; shared: number } {
  const n = to - from;
  const own = new Float64Array(n);
  const reliability = new Float64Array(n);
  let precision = 0;
  for (let i = 0; i < n; i++) {
    const variance = within * within + errorVariance[from + i]!;
    own[i] = variance;
    reliability[i] = (within * within) / variance;
    precision += 1 / variance;
  }
  return { own, reliability, precision, shared: between ** 2 / (1 + between ** 2 * precision) };
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
