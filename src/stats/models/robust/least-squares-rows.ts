import type { Design } from '../design/design.ts';

/** What robust covariances are made of: the rows of a least-squares fit, each scaled to equal variance. */
export interface LeastSquaresRows {
  readonly n: number;
  readonly p: number;
  /** Row i of the orthonormal design Q (X = Q R), length p. */
  row(i: number): Float64Array;
  /** In units of the residual SD times the root of n, so that covariances are in the design's coordinates. */
  readonly residuals: Float64Array;
  /** 0-based places of the rows in the data. */
  readonly places: Int32Array;
}

/** The rows of a design; `sigma` is the residual SD in the design's own unit. */
export function leastSquaresRows(design: Design, sigma: number): LeastSquaresRows {
  const { rows: n, columns, keptRows } = design;
  const p = design.fixedNames.length;
  const root = Math.sqrt(n);
  return {
    n,
    p,
    row: (i) => Float64Array.from({ length: p }, (_, k) => columns.fixed[k * n + i]! / root),
    residuals: columns.outcome.map((e) => e / (sigma * root)),
    places: keptRows,
  };
}

/** Adds u u' to the p x p matrix `into`. */
export function addOuter(into: Float64Array, u: Float64Array): void {
  const p = u.length;
  for (let a = 0; a < p; a++) for (let b = 0; b < p; b++) into[a * p + b] = into[a * p + b]! + u[a]! * u[b]!;
}
