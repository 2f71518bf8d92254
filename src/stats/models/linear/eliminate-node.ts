import { choleskyInPlace } from '../../../numerics/index.ts';
import {
  type Eliminated,
  type Level,
  type LevelElimination,
  pairIndex,
  zeroArrays,
} from './elimination-level.ts';

/** The elimination of a node of any level, as derived in elimination.ts. */
export function generalElimination(level: Level, m: number, result: Eliminated): LevelElimination {
  const { stage, firstElement: inherited, lastElement: known } = level;
  const q = stage.effects;
  const width = stage.width;
  const r = width - q;
  const square = () => new Float64Array(q * q);
  const wide = () => new Float64Array(q * r);
  const S = square();
  const SL = square();
  const C = square();
  const F = square();
  const SK = square();
  const M = square();
  const H = square();
  const T1 = square();
  const R = wide();
  const P = wide();
  const U = wide();
  const EU = wide();
  const PBy = zeroArrays(known, q * r);
  const UBy = zeroArrays(known, q * r);
  const BBy = zeroArrays(inherited, q * r);
  const SBy = zeroArrays(inherited, q * q);
  const KSBy = zeroArrays(inherited, q * q);
  const R2 = wide();
  const { logDeterminantBy, logDeterminantByTwo } = result;
  const { taken, takenBy, takenByTwo } = level;

  /** out += A' B for q x r matrices, upper triangle of a symmetric sum A'B (+ B'A when `both`). */
  const addProduct = (out: Float64Array, A: Float64Array, B: Float64Array, both: boolean): void => {
    for (let k = 0; k < q; k++) {
      const row = k * r;
      for (let a = 0; a < r; a++) {
        const x = A[row + a]!;
        const z = both ? B[row + a]! : 0;
        if (x === 0 && z === 0) continue;
        const to = a * r;
        if (both) for (let c = a; c < r; c++) out[to + c] = out[to + c]! + x * B[row + c]! + z * A[row + c]!;
        else for (let c = a; c < r; c++) out[to + c] = out[to + c]! + x * B[row + c]!;
      }
    }
  };
  /** out = A B with A q x q and B q x r. */
  const multiply = (out: Float64Array, A: Float64Array, B: Float64Array, columns: number): void => {
    for (let a = 0; a < q; a++) {
      const to = a * columns;
      for (let c = 0; c < columns; c++) out[to + c] = 0;
      for (let k = 0; k < q; k++) {
        const x = A[a * q + k]!;
        if (x === 0) continue;
        const from = k * columns;
        for (let c = 0; c < columns; c++) out[to + c] = out[to + c]! + x * B[from + c]!;
      }
    }
  };
  /** out = E U, E having ones at `places`. */
  const spread = (out: Float64Array, places: Int32Array, B: Float64Array): void => {
    out.fill(0);
    for (let e = 0; e < places.length; e += 2) {
      const to = places[e]! * r;
      const from = places[e + 1]! * r;
      for (let c = 0; c < r; c++) out[to + c] = out[to + c]! + B[from + c]!;
    }
  };
  const trace = (A: Float64Array, B: Float64Array): number => {
    let sum = 0;
    for (let a = 0; a < q; a++) for (let b = 0; b < q; b++) sum += A[a * q + b]! * B[b * q + a]!;
    return sum;
  };

  const eliminateNode = (node: number, lambda: Float64Array, derivatives: boolean): boolean => {
    const offset = node * q * width;
    for (let a = 0; a < q; a++) {
      const from = offset + a * width;
      for (let b = 0; b < q; b++) S[a * q + b] = level.block[from + b]!;
      for (let c = 0; c < r; c++) R[a * r + c] = level.block[from + q + c]!;
    }
    const K = level.conditional.subarray(node * q * q, (node + 1) * q * q);
    multiply(SL, S, lambda, q);
    for (let a = 0; a < q; a++)
      for (let b = 0; b <= a; b++) {
        let sum = a === b ? 1 : 0;
        for (let k = 0; k < q; k++) sum += lambda[k * q + a]! * SL[k * q + b]!;
        C[a * q + b] = sum;
      }
    if (!choleskyInPlace(C, q)) return false;
    let logDeterminant = 0;
    for (let a = 0; a < q; a++) logDeterminant += Math.log(C[a * q + a]!);
    result.logDeterminant += 2 * logDeterminant;
    for (let j = 0; j < q; j++)
      for (let i = 0; i < q; i++) {
        let sum = lambda[j * q + i]!;
        for (let k = 0; k < i; k++) sum -= C[i * q + k]! * F[k * q + j]!;
        F[i * q + j] = sum / C[i * q + i]!;
      }
    for (let a = 0; a < q; a++)
      for (let b = 0; b <= a; b++) {
        let sum = 0;
        for (let k = 0; k < q; k++) sum += F[k * q + a]! * F[k * q + b]!;
        K[a * q + b] = sum;
        K[b * q + a] = sum;
      }
    multiply(P, K, R, r);
    addProduct(taken, R, P, false);
    if (!derivatives) return true;

    multiply(SK, S, K, q);
    multiply(M, SK, S, q);
    for (let i = 0; i < q * q; i++) {
      M[i] = S[i]! - M[i]!;
      H[i] = -SK[i]!;
    }
    for (let a = 0; a < q; a++) H[a * q + a] = H[a * q + a]! + 1;
    multiply(U, S, P, r);
    for (let i = 0; i < q * r; i++) U[i] = R[i]! - U[i]!;

    for (let j = 0; j < inherited; j++) {
      const block = level.blockBy[j]!;
      const Sj = SBy[j]!;
      const B = BBy[j]!;
      for (let a = 0; a < q; a++) for (let b = 0; b < q; b++) Sj[a * q + b] = block[offset + a * width + b]!;
      multiply(B, Sj, P, r);
      addProduct(takenBy[j]!, P, B, false);
      for (let a = 0; a < q; a++)
        for (let c = 0; c < r; c++) B[a * r + c] = block[offset + a * width + q + c]! - B[a * r + c]!;
      addProduct(takenBy[j]!, B, P, true);
      multiply(PBy[j]!, K, B, r);
      multiply(UBy[j]!, S, PBy[j]!, r);
      for (let i = 0; i < q * r; i++) UBy[j]![i] = B[i]! - UBy[j]![i]!;
      multiply(KSBy[j]!, K, Sj, q);
      let sum = 0;
      for (let a = 0; a < q; a++) sum += KSBy[j]![a * q + a]!;
      logDeterminantBy[j] = logDeterminantBy[j]! + sum;
    }
    for (let j = inherited; j < known; j++) {
      const { places } = stage.elements[j - inherited]!;
      spread(EU, places, U);
      addProduct(takenBy[j]!, U, EU, false);
      multiply(UBy[j]!, M, EU, r);
      const Uj = UBy[j]!;
      const Pj = PBy[j]!;
      for (let i = 0; i < q * r; i++) Uj[i] = -Uj[i]!;
      // dP = (I - K S) E U
      for (let a = 0; a < q; a++) {
        const to = a * r;
        for (let c = 0; c < r; c++) Pj[to + c] = 0;
        for (let k = 0; k < q; k++) {
          const x = H[k * q + a]!;
          if (x === 0) continue;
          for (let c = 0; c < r; c++) Pj[to + c] = Pj[to + c]! + x * EU[k * r + c]!;
        }
      }
      let sum = 0;
      for (let e = 0; e < places.length; e += 2) sum += M[places[e]! * q + places[e + 1]!]!;
      logDeterminantBy[j] = logDeterminantBy[j]! + sum;
    }

    for (let j = 0; j < known; j++)
      for (let i = 0; i <= j; i++) {
        const out = takenByTwo[pairIndex(i, j)]!;
        let bend = 0;
        if (j < inherited) {
          const block = level.blockByTwo[pairIndex(i, j)]!;
          for (let a = 0; a < q; a++)
            for (let b = 0; b < q; b++) T1[a * q + b] = block[offset + a * width + b]!;
          bend = trace(K, T1) - trace(KSBy[i]!, KSBy[j]!);
          multiply(R2, T1, P, r);
          for (let a = 0; a < q; a++)
            for (let c = 0; c < r; c++)
              R2[a * r + c] = block[offset + a * width + q + c]! - 0.5 * R2[a * r + c]!;
          addProduct(out, R2, P, true);
          addProduct(out, BBy[i]!, PBy[j]!, true);
        } else if (i < inherited) {
          // tr(E_j H S_i H'): the change of K with E_j, met by S_i.
          addProduct(out, BBy[i]!, PBy[j]!, true);
          multiply(T1, H, SBy[i]!, q);
          const { places } = stage.elements[j - inherited]!;
          for (let e = 0; e < places.length; e += 2) {
            const a = places[e]! * q;
            const b = places[e + 1]! * q;
            for (let k = 0; k < q; k++) bend += T1[a + k]! * H[b + k]!;
          }
        } else {
          const ei = stage.elements[i - inherited]!.places;
          const ej = stage.elements[j - inherited]!.places;
          spread(EU, ei, U);
          addProduct(out, UBy[j]!, EU, true);
          for (let e = 0; e < ei.length; e += 2)
            for (let f = 0; f < ej.length; f += 2)
              bend -= M[ei[e + 1]! * q + ej[f]!]! * M[ej[f + 1]! * q + ei[e]!]!;
        }
        logDeterminantByTwo[i * m + j] = logDeterminantByTwo[i * m + j]! + bend;
      }
    return true;
  };
  return {
    eliminate(first, end, lambda, derivatives) {
      for (let node = first; node < end; node++) if (!eliminateNode(node, lambda, derivatives)) return false;
      return true;
    },
    gather() {},
  };
}
