import { freePositions } from '../linear/covariance-shape.ts';
import { type PartProducts, type Variances, weighted } from './weighted-part.ts';

export interface PartSums {
  readonly inner: Float64Array;
  readonly by: readonly Float64Array[];
  /** Entry k (k + 1) / 2 + l for l <= k. */
  readonly byTwo: readonly Float64Array[];
  readonly traces: Float64Array;
  readonly tracesByTwo: Float64Array;
}

/**
 * All sums of a part at the variances given: U'V^-1 U and, for the derivatives G_k = dV / d(parameter k),
 *   U'V^-1 G_k V^-1 U,  U'V^-1 G_k V^-1 G_l V^-1 U,  tr V^-1 G_k,  tr V^-1 G_k V^-1 G_l.
 * Parameters are the free elements of each term's Sigma, term by term, then s.
 */
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

function diagonalSum(a: Float64Array, n: number): number {
  let sum = 0;
  for (let i = 0; i < n; i++) sum += a[i * n + i]!;
  return sum;
}
