import { choleskyInPlace, solveLower, symmetricEigen } from '../../../numerics/index.ts';
import { freePositions } from '../linear/covariance-shape.ts';
import type { FittedDesign } from '../linear/fitted-design.ts';

/**
 * The sums over independent parts of a linear mixed model that its likelihood and all derivatives are made of, for
 * questions that leave parts out. A part is a set of rows that shares no random effect with any other. With
 * U = [X y] and V = s I + Z Sigma Z' inside a part, they are U'V^-1 U and, for the derivatives G_k = dV / d(parameter k),
 *   U'V^-1 G_k V^-1 U,  U'V^-1 G_k V^-1 G_l V^-1 U,  tr V^-1 G_k,  tr V^-1 G_k V^-1 G_l.
 * Parameters are the free elements of each term's Sigma, term by term, then s. Nothing n x n is formed:
 * V^-1 = (I - Z L K^-1 L'Z' / s) / s with Sigma = L L', K = I + L'Z'Z L / s.
 * Source: Lindstrom and Bates (1988), JASA 83, 1014-1022 (the same identities).
 */
export interface Variances {
  /** One covariance matrix for each term, effects x effects. */
  readonly sigmas: readonly Float64Array[];
  readonly residual: number;
}

/** Cross products of a part's rows. `copies` says which effects stand where. */
export interface PartProducts {
  readonly rows: number;
  readonly copies: readonly { readonly term: number; readonly offset: number }[];
  readonly zz: Float64Array;
  readonly zu: Float64Array;
  readonly uu: Float64Array;
}

export interface PartSums {
  readonly inner: Float64Array;
  readonly by: readonly Float64Array[];
  /** Entry k (k + 1) / 2 + l for l <= k. */
  readonly byTwo: readonly Float64Array[];
  readonly traces: Float64Array;
  readonly tracesByTwo: Float64Array;
}

/** The variances of a fit, in the unit of its design. */
export function fittedVariances({ design, deviance, optimum }: FittedDesign): Variances {
  const { shape, shapeTerm } = design.assembled;
  const residual = optimum.evaluation.residualSum / deviance.degrees;
  return {
    residual,
    sigmas: design.terms.map((_, t) =>
      shape.covariance(optimum.theta, shapeTerm[t]!).map((value) => value * residual),
    ),
  };
}

/** Where the effects of every level that occurs in the rows stand in their part. */
export function effectsLayout({ terms, groupings }: FittedDesign['design'], rows: readonly number[]) {
  const copies: { term: number; offset: number }[] = [];
  let size = 0;
  const offsets = terms.map((term, t) => {
    const { at } = groupings.find(({ name }) => name === term.group)!;
    const found = new Map<number, number>();
    for (const i of rows) {
      if (found.has(at[i]!)) continue;
      found.set(at[i]!, size);
      copies.push({ term: t, offset: size });
      size += term.effects.length;
    }
    return { at, found };
  });
  const offsetOf = (term: number, row: number): number => offsets[term]!.found.get(offsets[term]!.at[row]!)!;
  return { copies, size, offsetOf };
}

/** Cross products of the rows given, laid out for every level that occurs in `layoutRows` (the rows themselves unless said). */
export function partProducts(
  { design }: FittedDesign,
  rows: readonly number[],
  layoutRows: readonly number[] = rows,
): PartProducts {
  const { terms, columns, rows: n } = design;
  const p = design.fixedNames.length;
  const D = p + 1;
  const { copies, size, offsetOf } = effectsLayout(design, layoutRows);
  const zz = new Float64Array(size * size);
  const zu = new Float64Array(size * D);
  const uu = new Float64Array(D * D);
  const u = new Float64Array(D);
  for (const i of rows) {
    for (let k = 0; k < p; k++) u[k] = columns.fixed[k * n + i]!;
    u[p] = columns.outcome[i]!;
    const places: number[] = [];
    const values: number[] = [];
    terms.forEach(({ effects, values: z }, t) => {
      const offset = offsetOf(t, i);
      for (let a = 0; a < effects.length; a++) {
        places.push(offset + a);
        values.push(z[i * effects.length + a]!);
      }
    });
    places.forEach((row, a) => {
      places.forEach((column, b) => {
        zz[row * size + column] = zz[row * size + column]! + values[a]! * values[b]!;
      });
      for (let k = 0; k < D; k++) zu[row * D + k] = zu[row * D + k]! + values[a]! * u[k]!;
    });
    for (let j = 0; j < D; j++) for (let k = 0; k < D; k++) uu[j * D + k] = uu[j * D + k]! + u[j]! * u[k]!;
  }
  return { rows: rows.length, copies, zz, zu, uu };
}

/** a - b, entry by entry, for the same layout. */
export function withoutRows(a: PartProducts, b: PartProducts): PartProducts {
  const minus = (x: Float64Array, y: Float64Array) => x.map((value, i) => value - y[i]!);
  return {
    rows: a.rows - b.rows,
    copies: a.copies,
    zz: minus(a.zz, b.zz),
    zu: minus(a.zu, b.zu),
    uu: minus(a.uu, b.uu),
  };
}

/** Z'V^-1 Z (C), Z'V^-1 U (E) and U'V^-1 U (inner) of a part; carried = F^-1 L'Z'U with K = F F'. */
export function weighted(part: PartProducts, { sigmas, residual: s }: Variances) {
  const D = Math.round(Math.sqrt(part.uu.length));
  const m = part.zu.length / D;
  const roots = sigmas.map(semidefiniteRoot);
  // L'Z'Z, L'Z'U and K.
  const lzz = new Float64Array(m * m);
  const lzu = new Float64Array(m * D);
  const K = new Float64Array(m * m);
  const rooted = (from: Float64Array, width: number, into: Float64Array) => {
    for (const { term, offset } of part.copies) {
      const L = roots[term]!;
      const q = Math.round(Math.sqrt(L.length));
      for (let a = 0; a < q; a++)
        for (let b = 0; b < q; b++) {
          const weight = L[b * q + a]!;
          if (weight === 0) continue;
          for (let c = 0; c < width; c++)
            into[(offset + a) * width + c] =
              into[(offset + a) * width + c]! + weight * from[(offset + b) * width + c]!;
        }
    }
  };
  rooted(part.zz, m, lzz);
  rooted(part.zu, D, lzu);
  rooted(transposed(lzz, m, m), m, K);
  for (let i = 0; i < m * m; i++) K[i] = K[i]! / s;
  for (let i = 0; i < m; i++) K[i * m + i] = K[i * m + i]! + 1;
  choleskyInPlace(K, m);
  for (let c = 0; c < m; c++) solveLower(K, m, lzz, c, m);
  for (let c = 0; c < D; c++) solveLower(K, m, lzu, c, D);
  const C = reduced(part.zz, lzz, lzz, m, m, m, s);
  const E = reduced(part.zu, lzz, lzu, m, m, D, s);
  const inner = reduced(part.uu, lzu, lzu, m, D, D, s);
  return { C, E, inner, factor: K, roots, carried: lzu, size: m, D };
}

/** (a - b'c / s) / s with b m x rows, c m x columns. */
function reduced(
  a: Float64Array,
  b: Float64Array,
  c: Float64Array,
  m: number,
  rows: number,
  columns: number,
  s: number,
): Float64Array {
  const out = Float64Array.from(a);
  for (let k = 0; k < m; k++)
    for (let i = 0; i < rows; i++) {
      const x = b[k * rows + i]! / s;
      if (x === 0) continue;
      for (let j = 0; j < columns; j++)
        out[i * columns + j] = out[i * columns + j]! - x * c[k * columns + j]!;
    }
  return out.map((value) => value / s);
}

/** All sums of a part at the variances given. */
export function partSums(
  part: PartProducts,
  variances: Variances,
  kinds: readonly ('full' | 'diagonal')[],
): PartSums {
  const { sigmas, residual: s } = variances;
  const { C, E: D0, inner, size: m, D } = weighted(part, variances);
  /** The derivative of Sigma (all copies) by each parameter, times a matrix. */
  const parameters = sigmas.flatMap((sigma, t) => {
    const effects = Math.round(Math.sqrt(sigma.length));
    return freePositions({ stage: 0, offset: 0, copies: 1, effects, kind: kinds[t]! }).map(([a, b]) => ({
      t,
      a,
      b,
    }));
  });
  const moved = (k: number, from: Float64Array, width: number): Float64Array => {
    const { t, a, b } = parameters[k]!;
    const out = new Float64Array(m * width);
    for (const { term, offset } of part.copies) {
      if (term !== t) continue;
      for (let c = 0; c < width; c++) {
        out[(offset + a) * width + c] = from[(offset + b) * width + c]!;
        if (a !== b) out[(offset + b) * width + c] = from[(offset + a) * width + c]!;
      }
    }
    return out;
  };
  const bySigma = (from: Float64Array, width: number): Float64Array => {
    const out = new Float64Array(m * width);
    for (const { term, offset } of part.copies) {
      const sigma = sigmas[term]!;
      const q = Math.round(Math.sqrt(sigma.length));
      for (let a = 0; a < q; a++)
        for (let b = 0; b < q; b++)
          for (let c = 0; c < width; c++)
            out[(offset + a) * width + c] =
              out[(offset + a) * width + c]! + sigma[a * q + b]! * from[(offset + b) * width + c]!;
    }
    return out;
  };
  const minusOverS = (a: Float64Array, b: Float64Array) => a.map((value, i) => (value - b[i]!) / s);
  // The same with V^-1 twice, from V^-2 = (V^-1 - V^-1 Z Sigma Z' V^-1) / s; then three times.
  const sigmaC = bySigma(C, m);
  const sigmaD = bySigma(D0, D);
  const C2 = minusOverS(C, crossed(C, sigmaC, m, m, m));
  const D2 = minusOverS(D0, crossed(C, sigmaD, m, m, D));
  const inner2 = minusOverS(inner, crossed(D0, sigmaD, m, D, D));
  const inner3 = minusOverS(inner2, crossed(D2, sigmaD, m, D, D));
  const k = parameters.length + 1;
  const last = k - 1;
  const movedC = parameters.map((_, i) => moved(i, C, m));
  const movedD = parameters.map((_, i) => moved(i, D0, D));
  const by = [...movedD.map((M) => crossed(D0, M, m, D, D)), inner2];
  const traces = new Float64Array(k);
  movedC.forEach((M, i) => {
    traces[i] = diagonalSum(M, m);
  });
  traces[last] = (part.rows - diagonalSum(sigmaC, m)) / s;
  const byTwo: Float64Array[] = [];
  const tracesByTwo = new Float64Array((k * (k + 1)) / 2);
  for (let i = 0; i < k; i++)
    for (let j = 0; j <= i; j++) {
      const at = (i * (i + 1)) / 2 + j;
      if (i === last && j === last) {
        byTwo.push(inner3);
        tracesByTwo[at] = (traces[last]! - diagonalSum(bySigma(C2, m), m)) / s;
      } else if (i === last) {
        byTwo.push(crossed(D2, movedD[j]!, m, D, D));
        tracesByTwo[at] = diagonalSum(moved(j, C2, m), m);
      } else {
        byTwo.push(crossed(movedD[i]!, crossed(C, movedD[j]!, m, m, D), m, D, D));
        let sum = 0;
        for (let a = 0; a < m; a++)
          for (let b = 0; b < m; b++) sum += movedC[i]![a * m + b]! * movedC[j]![b * m + a]!;
        tracesByTwo[at] = sum;
      }
    }
  return { inner, by, byTwo, traces, tracesByTwo };
}

/** a'b with a m x rows and b m x columns. */
function crossed(a: Float64Array, b: Float64Array, m: number, rows: number, columns: number): Float64Array {
  const out = new Float64Array(rows * columns);
  for (let k = 0; k < m; k++)
    for (let i = 0; i < rows; i++) {
      const x = a[k * rows + i]!;
      if (x === 0) continue;
      for (let j = 0; j < columns; j++)
        out[i * columns + j] = out[i * columns + j]! + x * b[k * columns + j]!;
    }
  return out;
}

function transposed(a: Float64Array, rows: number, columns: number): Float64Array {
  const out = new Float64Array(a.length);
  for (let i = 0; i < rows; i++) for (let j = 0; j < columns; j++) out[j * rows + i] = a[i * columns + j]!;
  return out;
}

function diagonalSum(a: Float64Array, n: number): number {
  let sum = 0;
  for (let i = 0; i < n; i++) sum += a[i * n + i]!;
  return sum;
}

/** L with L L' = sigma; a negative eigenvalue counts as zero. */
export function semidefiniteRoot(sigma: Float64Array): Float64Array {
  const q = Math.round(Math.sqrt(sigma.length));
  const { values, vectors } = symmetricEigen(sigma, q);
  return vectors.map((value, at) => value * Math.sqrt(Math.max(0, values[at % q]!)));
}
