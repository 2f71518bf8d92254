import { choleskyInPlace, solveLower, symmetricEigen } from '../../../numerics/index.ts';
import type { FittedDesign } from '../linear/fitted-design.ts';

/**
 * A linear mixed model in parts, for questions that leave some out. A part is a set of rows that shares no random
 * effect with any other. With U = [X y] and V = s I + Z Sigma Z' inside a part, products with V^-1 come from cross
 * products: V^-1 = (I - Z L K^-1 L'Z' / s) / s, Sigma = L L', K = I + L'Z'Z L / s. Nothing n x n is formed.
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

/**
 * Cross products of the rows given, laid out for every level that occurs in `layoutRows` (the rows themselves
 * unless said).
 */
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

function transposed(a: Float64Array, rows: number, columns: number): Float64Array {
  const out = new Float64Array(a.length);
  for (let i = 0; i < rows; i++) for (let j = 0; j < columns; j++) out[j * rows + i] = a[i * columns + j]!;
  return out;
}

/** L with L L' = sigma; a negative eigenvalue counts as zero. */
export function semidefiniteRoot(sigma: Float64Array): Float64Array {
  const q = Math.round(Math.sqrt(sigma.length));
  const { values, vectors } = symmetricEigen(sigma, q);
  return vectors.map((value, at) => value * Math.sqrt(Math.max(0, values[at % q]!)));
}
