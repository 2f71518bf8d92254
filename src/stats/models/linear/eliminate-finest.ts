import { choleskyInPlace } from '../../../numerics/index.ts';
import {
  type Eliminated,
  type Level,
  type NodeElimination,
  pairCount,
  pairIndex,
} from './elimination-level.ts';

/** Wider couplings (many crossed levels above) are mostly zeros and are left to the general elimination. */
const WIDEST = 64;

export function fitsFinest({ stage, firstElement }: Level): boolean {
  return (
    firstElement === 0 &&
    stage.width - stage.effects <= WIDEST &&
    stage.elements.every((e) => e.places.length <= 4)
  );
}

/**
 * The elimination of the finest level, where most of the nodes are. Nothing is inherited there, so
 * with O_ab = U_a U_b' + U_b U_a' (rows of U; O_aa = U_a U_a') all derivatives are fixed sums of
 *   sum O_ab, sum M_cd O_ab and sum M_ab M_cd,
 * the sums running over siblings (over all nodes for the last):
 *   d(R'P)/dg_i = U' E_i U,   d2(R'P)/dg_i dg_j = -U' (E_i M E_j + E_j M E_i) U,
 *   d log det/dg_i = tr(E_i M),   d2 log det/dg_i dg_j = -tr(E_i M E_j M).
 * So a node costs a few short rows whatever the number of parameter pairs.
 */
export function finestElimination(level: Level, m: number, result: Eliminated): NodeElimination {
  const { stage, taken, takenBy, takenByTwo, conditional, block } = level;
  const q = stage.effects;
  const width = stage.width;
  const r = width - q;
  const packed = pairCount(r);
  const count = pairCount(q);
  const lower = (a: number, b: number) => (a <= b ? pairIndex(a, b) : pairIndex(b, a));

  const C = new Float64Array(q * q);
  const F = new Float64Array(q * q);
  const SL = new Float64Array(q * q);
  const SK = new Float64Array(q * q);
  const M = new Float64Array(count);
  const P = new Float64Array(q * r);
  const U = new Float64Array(q * r);
  const O = new Float64Array(count * packed);
  const sumN = new Float64Array(packed);
  const sumO = new Float64Array(count * packed);
  const sumMO = new Float64Array(count * count * packed);
  const sumM = new Float64Array(count);
  const sumMM = new Float64Array(count * count);
  let determinant = 1;

  /** For each pair of parameters, which sums of M_cd O_ab make its second derivative. */
  const elements = stage.elements.map(({ places }) => {
    const list: [number, number][] = [];
    for (let e = 0; e < places.length; e += 2) list.push([places[e]!, places[e + 1]!]);
    return list;
  });
  const secondParts = elements.flatMap((ej, j) =>
    elements.slice(0, j + 1).map((ei, i) => {
      const parts: { at: number; weight: number }[] = [];
      const bends: number[] = [];
      for (const [a, x] of ei)
        for (const [y, b] of ej) {
          parts.push({ at: lower(x, y) * count + lower(a, b), weight: a === b ? 2 : 1 });
          bends.push(lower(x, y) * count + lower(b, a));
        }
      return { i, j, parts, bends };
    }),
  );

  const eliminate: NodeElimination['eliminate'] = (node, lambda, derivatives) => {
    const offset = node * q * width;
    const kAt = node * q * q;
    for (let a = 0; a < q; a++)
      for (let b = 0; b < q; b++) {
        let sum = 0;
        for (let k = b; k < q; k++) sum += block[offset + a * width + k]! * lambda[k * q + b]!;
        SL[a * q + b] = sum;
      }
    for (let a = 0; a < q; a++)
      for (let b = 0; b <= a; b++) {
        let sum = a === b ? 1 : 0;
        for (let k = a; k < q; k++) sum += lambda[k * q + a]! * SL[k * q + b]!;
        C[a * q + b] = sum;
      }
    if (!choleskyInPlace(C, q)) return false;
    for (let a = 0; a < q; a++) determinant *= C[a * q + a]!;
    if (determinant > 1e120) {
      result.logDeterminant += 2 * Math.log(determinant);
      determinant = 1;
    }
    // F = C^-1 Lambda', K = F'F; Lambda is lower triangular.
    for (let j = 0; j < q; j++)
      for (let i = 0; i < q; i++) {
        let sum = i <= j ? lambda[j * q + i]! : 0;
        for (let k = 0; k < i; k++) sum -= C[i * q + k]! * F[k * q + j]!;
        F[i * q + j] = sum / C[i * q + i]!;
      }
    for (let a = 0; a < q; a++)
      for (let b = 0; b <= a; b++) {
        let sum = 0;
        for (let k = 0; k < q; k++) sum += F[k * q + a]! * F[k * q + b]!;
        conditional[kAt + a * q + b] = sum;
        conditional[kAt + b * q + a] = sum;
      }
    for (let a = 0; a < q; a++)
      for (let c = 0; c < r; c++) {
        let sum = 0;
        for (let k = 0; k < q; k++) sum += conditional[kAt + a * q + k]! * block[offset + k * width + q + c]!;
        P[a * r + c] = sum;
      }
    for (let k = 0; k < q; k++) {
      const row = offset + k * width + q;
      const own = k * r;
      for (let c = 0, at = 0; c < r; c++) {
        const x = P[own + c]!;
        for (let a = 0; a <= c; a++, at++) sumN[at] = sumN[at]! + x * block[row + a]!;
      }
    }
    if (!derivatives) return true;

    for (let a = 0; a < q; a++)
      for (let b = 0; b < q; b++) {
        let sum = 0;
        for (let k = 0; k < q; k++) sum += block[offset + a * width + k]! * conditional[kAt + k * q + b]!;
        SK[a * q + b] = sum;
      }
    for (let b = 0; b < q; b++)
      for (let a = 0; a <= b; a++) {
        let sum = block[offset + a * width + b]!;
        for (let k = 0; k < q; k++) sum -= SK[a * q + k]! * block[offset + k * width + b]!;
        M[pairIndex(a, b)] = sum;
      }
    for (let a = 0; a < q; a++)
      for (let c = 0; c < r; c++) {
        let sum = block[offset + a * width + q + c]!;
        for (let k = 0; k < q; k++) sum -= block[offset + a * width + k]! * P[k * r + c]!;
        U[a * r + c] = sum;
      }
    let o = 0;
    for (let b = 0; b < q; b++)
      for (let a = 0; a <= b; a++)
        for (let c = 0; c < r; c++) {
          const x = U[a * r + c]!;
          const y = U[b * r + c]!;
          if (a === b) for (let d = 0; d <= c; d++, o++) O[o] = x * U[a * r + d]!;
          else for (let d = 0; d <= c; d++, o++) O[o] = x * U[b * r + d]! + y * U[a * r + d]!;
        }
    const length = count * packed;
    for (let i = 0; i < length; i++) sumO[i] = sumO[i]! + O[i]!;
    for (let e = 0, to = 0; e < count; e++) {
      const x = M[e]!;
      sumM[e] = sumM[e]! + x;
      for (let f = 0; f <= e; f++) sumMM[e * count + f] = sumMM[e * count + f]! + x * M[f]!;
      for (let i = 0; i < length; i++, to++) sumMO[to] = sumMO[to]! + x * O[i]!;
    }
    return true;
  };

  /** to (r x r, upper triangle) += weight x the packed triangle at `start`. */
  const unpack = (to: Float64Array, from: Float64Array, start: number, weight: number): void => {
    for (let c = 0, at = start; c < r; c++)
      for (let a = 0; a <= c; a++, at++) to[a * r + c] = to[a * r + c]! + weight * from[at]!;
  };
  return {
    eliminate,
    finishSiblings(derivatives) {
      unpack(taken, sumN, 0, 1);
      sumN.fill(0);
      if (!derivatives) return;
      elements.forEach((places, i) => {
        for (const [a, b] of places) if (a >= b) unpack(takenBy[i]!, sumO, lower(a, b) * packed, 1);
      });
      for (const { i, j, parts } of secondParts)
        for (const { at, weight } of parts) unpack(takenByTwo[pairIndex(i, j)]!, sumMO, at * packed, -weight);
      sumO.fill(0);
      sumMO.fill(0);
    },
    finishPass(derivatives) {
      result.logDeterminant += 2 * Math.log(determinant);
      determinant = 1;
      if (!derivatives) return;
      elements.forEach((places, i) => {
        for (const [a, b] of places)
          result.logDeterminantBy[i] = result.logDeterminantBy[i]! + sumM[lower(a, b)]!;
      });
      for (const { i, j, bends } of secondParts)
        for (const at of bends) {
          const e = Math.floor(at / count);
          const f = at % count;
          const sum = sumMM[Math.max(e, f) * count + Math.min(e, f)]!;
          result.logDeterminantByTwo[i * m + j] = result.logDeterminantByTwo[i * m + j]! - sum;
        }
      sumM.fill(0);
      sumMM.fill(0);
    },
    reset() {
      determinant = 1;
      for (const sum of [sumN, sumO, sumMO, sumM, sumMM]) sum.fill(0);
    },
  };
}
