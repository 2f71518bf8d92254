/**
 * Brute force in plain arrays, written without a look at the engine: densities from their definitions, the dense
 * Laplace approximation, and the integral itself on a fine grid.
 */
import { invert, type Matrix } from '../dense-oracle.ts';

export interface OracleTerm {
  /** rows x q columns as the model names them. */
  readonly z: Matrix;
  /** Level of each row. */
  readonly at: readonly number[];
  readonly levels: number;
  /** q x q factor of the covariance of the named effects. */
  readonly factor: Matrix;
}

export interface OracleModel {
  readonly kind: 'binary' | 'count' | 'ordinal';
  /** Successes, counts, or the number of the category from 0. */
  readonly y: readonly number[];
  readonly trials: readonly number[];
  /** The fixed part of each row's predictor. */
  readonly fixedPart: readonly number[];
  /** Ascending; empty unless ordinal. */
  readonly thresholds: readonly number[];
  readonly terms: readonly OracleTerm[];
}

const logistic = (x: number): number => 1 / (1 + Math.exp(-x));

function logFactorial(n: number): number {
  let sum = 0;
  for (let k = 2; k <= n; k++) sum += Math.log(k);
  return sum;
}

/** Log probability of row i at predictor eta, and its first two derivatives. */
export function density(model: OracleModel, i: number, eta: number): [number, number, number] {
  const y = model.y[i]!;
  if (model.kind === 'count')
    return [y * eta - Math.exp(eta) - logFactorial(y), y - Math.exp(eta), -Math.exp(eta)];
  if (model.kind === 'binary') {
    const n = model.trials[i]!;
    const p = logistic(eta);
    const choose = logFactorial(n) - logFactorial(y) - logFactorial(n - y);
    return [choose + y * Math.log(p) + (n - y) * Math.log(logistic(-eta)), y - n * p, -n * p * (1 - p)];
  }
  const cuts = [Number.NEGATIVE_INFINITY, ...model.thresholds, Number.POSITIVE_INFINITY];
  const F = (x: number) => logistic(x);
  const f = (x: number) => (Number.isFinite(x) ? F(x) * (1 - F(x)) : 0);
  const df = (x: number) => (Number.isFinite(x) ? f(x) * (1 - 2 * F(x)) : 0);
  const hi = cuts[y + 1]! - eta;
  const lo = cuts[y]! - eta;
  const probability = F(hi) - F(lo);
  const slope = -(f(hi) - f(lo)) / probability;
  return [Math.log(probability), slope, (df(hi) - df(lo)) / probability - slope * slope];
}

/** rows x all effects: each row's spherical columns, term after term and level after level. */
export function sphericalColumns({ terms, y }: OracleModel): Matrix {
  return y.map((_, i) =>
    terms.flatMap(({ z, at, levels, factor }) => {
      const q = factor.length;
      const own = Array.from({ length: q }, (__, c) =>
        z[i]!.reduce((sum, value, a) => sum + value * factor[a]![c]!, 0),
      );
      return Array.from({ length: levels * q }, (__, j) => (Math.floor(j / q) === at[i] ? own[j % q]! : 0));
    }),
  );
}

export interface DenseLaplace {
  readonly logLikelihood: number;
  /** Spherical modes and the second derivative there. */
  readonly b: number[];
  readonly hessian: Matrix;
}

/** The dense Laplace approximation of the log likelihood, all constants included. */
export function denseLaplace(model: OracleModel): DenseLaplace {
  const v = sphericalColumns(model);
  const size = v[0]!.length;
  let b = new Array<number>(size).fill(0);
  const joint = (at: readonly number[]) =>
    v.reduce(
      (sum, row, i) =>
        sum -
        density(
          model,
          i,
          row.reduce((eta, x, j) => eta + x * at[j]!, model.fixedPart[i]!),
        )[0],
      at.reduce((sum, x) => sum + x * x, 0) / 2,
    );
  for (let round = 0; round < 100; round++) {
    const hessian = Array.from({ length: size }, (_, j) =>
      Array.from({ length: size }, (__, k) => (j === k ? 1 : 0)),
    );
    const gradient = b.map((x) => x);
    v.forEach((row, i) => {
      const eta = row.reduce((sum, x, j) => sum + x * b[j]!, model.fixedPart[i]!);
      const [, score, bend] = density(model, i, eta);
      row.forEach((x, j) => {
        if (x === 0) return;
        gradient[j]! -= x * score;
        row.forEach((w, k) => {
          hessian[j]![k]! -= bend * x * w;
        });
      });
    });
    const { inverse, logDeterminant } = invert(hessian);
    const step = inverse.map((row) => row.reduce((sum, x, j) => sum + x * gradient[j]!, 0));
    const length = Math.hypot(...step);
    if (length < 1e-12 || round === 99) return { logLikelihood: -joint(b) - logDeterminant / 2, b, hessian };
    let share = 1;
    while (share > 1e-8 && !(joint(b.map((x, j) => x - share * step[j]!)) <= joint(b) + 1e-12)) share /= 2;
    b = b.map((x, j) => x - share * step[j]!);
  }
  throw new Error('unreachable');
}

/** The integral itself for one scalar term, level by level, by the trapezoidal rule (exact to rounding here). */
export function integrated(model: OracleModel): number {
  const { z, at, levels, factor } = model.terms[0]!;
  // Counts hold an effect to within a tenth of its SD; a step of a quarter of that is exact to rounding.
  const step = 0.025;
  let total = 0;
  for (let level = 0; level < levels; level++) {
    const rows = at.flatMap((l, i) => (l === level ? [i] : []));
    const parts: number[] = [];
    for (let b = -11; b <= 11; b += step)
      parts.push(
        rows.reduce(
          (sum, i) => sum + density(model, i, model.fixedPart[i]! + z[i]![0]! * factor[0]![0]! * b)[0],
          -0.5 * b * b,
        ),
      );
    const top = Math.max(...parts);
    total +=
      top + Math.log((parts.reduce((sum, x) => sum + Math.exp(x - top), 0) * step) / Math.sqrt(2 * Math.PI));
  }
  return total;
}
