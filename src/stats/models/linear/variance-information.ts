import { inverseOfPositiveDefinite, symmetricEigen } from '../../../numerics/index.ts';
import type { CovarianceShape } from './covariance-shape.ts';
import { pairIndex } from './elimination-level.ts';
import type { Evaluation } from './profiled-deviance.ts';

/**
 * Traces of the variance parameters, in units of the residual variance. Parameter 0 is the residual variance,
 * 1... are the covariance elements g_i, so that V = I + sum g_i G_i, with G_0 = I = V - sum g_i G_i.
 */
export interface VarianceInformation {
  readonly parameters: number;
  /** P_i = -X' V^-1 G_i V^-1 X, each p x p. */
  readonly first: readonly Float64Array[];
  /** Q_ij = X' V^-1 G_i V^-1 G_j V^-1 X made symmetric, at `pairIndex(i, j)`, i <= j. */
  readonly second: readonly Float64Array[];
  /** tr(V^-1 G_i V^-1 G_j). */
  readonly traces: Float64Array;
  /** Inverse of the expected restricted information, or null where the data cannot tell the parameters apart. */
  readonly inverse: Float64Array | null;
}

/**
 * Everything Kenward and Roger's adjustment needs, from derivatives the elimination already holds: since V is
 * linear in its elements, P_i is the derivative of X' V^-1 X, 2 Q_ij its second derivative and -tr the second
 * derivative of log |V|. No n x n matrix is formed.
 * Source: Kenward and Roger (1997), Biometrics 53, 983-997, section 2.
 */
export function varianceInformation(
  evaluation: Evaluation,
  shape: CovarianceShape,
  theta: Float64Array,
  rows: number,
): VarianceInformation {
  const { eliminated, inverseInformation: phi } = evaluation;
  const m = shape.starts.at(-1)!;
  const p = evaluation.beta.length;
  const D = p + 1;
  const k = m + 1;
  const elements = elementValues(shape, theta);
  const crop = (corner: Float64Array, factor: number) => {
    const out = new Float64Array(p * p);
    for (let a = 0; a < p; a++) for (let b = 0; b < p; b++) out[a * p + b] = factor * corner[a * D + b]!;
    return out;
  };
  const first: Float64Array[] = [crop(eliminated.corner, -1)];
  for (let i = 0; i < m; i++) {
    const P = crop(eliminated.cornerBy[i]!, 1);
    first.push(P);
    for (let a = 0; a < p * p; a++) first[0]![a] = first[0]![a]! - elements[i]! * P[a]!;
  }
  const second: Float64Array[] = Array.from({ length: (k * (k + 1)) / 2 }, () => new Float64Array(p * p));
  const traces = new Float64Array(k * k);
  const set = (i: number, j: number, value: number) => {
    traces[i * k + j] = value;
    traces[j * k + i] = value;
  };
  for (let j = 1; j < k; j++)
    for (let i = 1; i <= j; i++) {
      second[pairIndex(i, j)]!.set(crop(eliminated.cornerByTwo[pairIndex(i - 1, j - 1)]!, 0.5));
      set(i, j, -eliminated.logDeterminantByTwo[(i - 1) * m + j - 1]!);
    }
  const pair = (i: number, j: number) => second[i <= j ? pairIndex(i, j) : pairIndex(j, i)]!;
  for (let j = k - 1; j >= 0; j--) {
    const Q = pair(0, j);
    let trace = j === 0 ? rows : eliminated.logDeterminantBy[j - 1]!;
    if (j === 0) for (let i = 1; i < k; i++) trace -= elements[i - 1]! * eliminated.logDeterminantBy[i - 1]!;
    for (let a = 0; a < p * p; a++) Q[a] = -first[j]![a]!;
    for (let i = 1; i < k; i++) {
      trace -= elements[i - 1]! * traces[i * k + j]!;
      const Qij = pair(i, j);
      for (let a = 0; a < p * p; a++) Q[a] = Q[a]! - elements[i - 1]! * Qij[a]!;
    }
    set(0, j, trace);
  }
  const phiP = first.map((P) => product(phi, P, p));
  const information = new Float64Array(k * k);
  for (let i = 0; i < k; i++)
    for (let j = 0; j <= i; j++) {
      const value = 0.5 * traces[i * k + j]! - trace(phi, pair(j, i), p) + 0.5 * trace(phiP[i]!, phiP[j]!, p);
      information[i * k + j] = value;
      information[j * k + i] = value;
    }
  return { parameters: k, first, second, traces, inverse: scaledInverse(information, k) };
}

/** The covariance elements (relative to the residual variance) in the order of the elimination. */
function elementValues(shape: CovarianceShape, theta: Float64Array): Float64Array {
  const out = new Float64Array(shape.starts.at(-1)!);
  shape.terms.forEach((term, t) => {
    const covariance = shape.covariance(theta, t);
    let at = shape.starts[t]!;
    for (let column = 0; column < term.effects; column++)
      for (let row = column; row < (term.kind === 'full' ? term.effects : column + 1); row++)
        out[at++] = covariance[row * term.effects + column]!;
  });
  return out;
}

/** Inverse after scaling to a unit diagonal; null where an eigenvalue then is as good as zero. */
function scaledInverse(a: Float64Array, n: number): Float64Array | null {
  const scale = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    if (!(a[i * n + i]! > 0)) return null;
    scale[i] = 1 / Math.sqrt(a[i * n + i]!);
  }
  const unit = a.map((value, at) => value * scale[Math.floor(at / n)]! * scale[at % n]!);
  if (unit.some((value) => !Number.isFinite(value))) return null;
  if (symmetricEigen(unit, n).values[0]! < 1e-10) return null;
  const inverse = inverseOfPositiveDefinite(unit, n);
  return inverse ? inverse.map((value, at) => value * scale[Math.floor(at / n)]! * scale[at % n]!) : null;
}

export function product(a: Float64Array, b: Float64Array, p: number): Float64Array {
  const out = new Float64Array(p * p);
  for (let i = 0; i < p; i++)
    for (let k = 0; k < p; k++) {
      const x = a[i * p + k]!;
      for (let j = 0; j < p; j++) out[i * p + j] = out[i * p + j]! + x * b[k * p + j]!;
    }
  return out;
}

export function trace(a: Float64Array, b: Float64Array, p: number): number {
  let sum = 0;
  for (let i = 0; i < p; i++) for (let j = 0; j < p; j++) sum += a[i * p + j]! * b[j * p + i]!;
  return sum;
}
