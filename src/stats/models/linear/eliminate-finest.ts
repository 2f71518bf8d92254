import { choleskyInPlace } from '../../../numerics/index.ts';
import {
  type Eliminated,
  type Level,
  type LevelElimination,
  pairCount,
  pairIndex,
} from './elimination-level.ts';
import { addCouplings, siblingClasses } from './sibling-classes.ts';

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
 * The elimination of the finest level, where most of the nodes are. Nothing is inherited there, so a node's K, M and
 * W = I - S K depend on nothing but its own block S, and siblings that share S (the same visits, the same days) are
 * taken together: with G_kl = sum R_k'R_l + R_l'R_k over them, made once for an outcome,
 *   sum R'KR = sum_kl K_kl G_kl,   sum O_ab = sum_kl V_ab,kl G_kl,   O_ab = U_a'U_b + U_b'U_a,  U = W R,
 * (half of each where k = l or a = b), and all derivatives are fixed sums of
 *   sum O_ab, sum M_cd O_ab and sum M_ab M_cd:
 *   d(R'P)/dg_i = U' E_i U,   d2(R'P)/dg_i dg_j = -U' (E_i M E_j + E_j M E_i) U,
 *   d log det/dg_i = tr(E_i M),   d2 log det/dg_i dg_j = -tr(E_i M E_j M).
 * A class costs a few short rows, whatever the number of its nodes and of parameter pairs. A level that is `alone` takes
 * straight from the corner.
 */
export function finestElimination(
  level: Level,
  m: number,
  result: Eliminated,
  alone: boolean,
): LevelElimination {
  const { stage, conditional, block } = level;
  const taken = alone ? result.corner : level.taken;
  const takenBy = alone ? result.cornerBy : level.takenBy;
  const takenByTwo = alone ? result.cornerByTwo : level.takenByTwo;
  const q = stage.effects;
  const width = stage.width;
  const r = width - q;
  const packed = pairCount(r);
  const count = pairCount(q);
  const length = count * packed;
  const lower = (a: number, b: number) => (a <= b ? pairIndex(a, b) : pairIndex(b, a));

  // Classes of each run of siblings, by the run's first node.
  const runs = new Map<number, { first: number; end: number }>();
  const starts: number[] = [];
  const members: (readonly number[])[] = [];
  for (let first = 0; first < stage.nodes; ) {
    let end = first + 1;
    while (end < stage.nodes && stage.parent[end] === stage.parent[first]) end++;
    const from = starts.length;
    for (const { at, nodes } of siblingClasses(block, first, end, q, width)) {
      starts.push(at);
      members.push(nodes);
    }
    runs.set(first, { first: from, end: starts.length });
    first = end;
  }
  const sizes = new Float64Array(starts.length);
  const G = new Float64Array(starts.length * length);
  const gather = (multiplicity: Float64Array | null): void => {
    sizes.fill(0);
    G.fill(0);
    for (let c = 0; c < starts.length; c++)
      for (const node of members[c]!) {
        const weight = multiplicity ? multiplicity[node]! : 1;
        if (weight === 0) continue;
        sizes[c] = sizes[c]! + weight;
        addCouplings(G, c * length, block, node, q, width, weight);
      }
  };
  gather(null);

  const C = new Float64Array(q * q);
  const F = new Float64Array(q * q);
  const SL = new Float64Array(q * q);
  const W = new Float64Array(q * q);
  const K = new Float64Array(q * q);
  const M = new Float64Array(count);
  const V = new Float64Array(count * count);
  const O = new Float64Array(length);
  const sums = new Float64Array(packed + length + count * length + count + count * count);
  let used = 0;
  const part = (size: number) => {
    used += size;
    return sums.subarray(used - size, used);
  };
  const sumN = part(packed);
  const sumO = part(length);
  const sumMO = part(count * length);
  const sumM = part(count);
  const sumMM = part(count * count);

  /** Each element of the covariance stands at one pair of effects here. */
  const elements = stage.elements.map(({ places }) => {
    const list: [number, number][] = [];
    for (let e = 0; e < places.length; e += 2) list.push([places[e]!, places[e + 1]!]);
    return list;
  });
  const pairOf = elements.map((places) => lower(places[0]![0], places[0]![1]));
  /** For each pair of parameters, which sums of M_cd O_ab and M_ab M_cd make its second derivatives. */
  const secondParts = elements.flatMap((ej, j) =>
    elements.slice(0, j + 1).map((ei, i) => {
      const parts: { at: number; weight: number }[] = [];
      const bends: number[] = [];
      for (const [a, x] of ei)
        for (const [y, b] of ej) {
          const e = lower(x, y);
          const f = lower(b, a);
          const weight = a === b ? 2 : 1;
          const known = parts.find(({ at }) => at === e * count + f);
          if (known) known.weight += weight;
          else parts.push({ at: e * count + f, weight });
          bends.push(Math.max(e, f) * count + Math.min(e, f));
        }
      const into = takenByTwo[pairIndex(i, j)]!;
      return { i, j, into, parts, bends };
    }),
  );

  /** K, and with derivatives W and M, of the class whose block starts at `offset`; log |I + Lambda' S Lambda| or NaN. */
  const solveClass = (offset: number, lambda: Float64Array, derivatives: boolean): number => {
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
    if (!choleskyInPlace(C, q)) return Number.NaN;
    let determinant = 0;
    for (let a = 0; a < q; a++) determinant += Math.log(C[a * q + a]!);
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
        K[a * q + b] = sum;
        K[b * q + a] = sum;
      }
    if (derivatives) {
      for (let a = 0; a < q; a++)
        for (let b = 0; b < q; b++) {
          let sum = a === b ? 1 : 0;
          for (let k = 0; k < q; k++) sum -= block[offset + a * width + k]! * K[k * q + b]!;
          W[a * q + b] = sum;
        }
      for (let b = 0, e = 0; b < q; b++)
        for (let a = 0; a <= b; a++, e++) {
          let sum = 0;
          for (let k = 0; k < q; k++) sum += W[a * q + k]! * block[offset + k * width + b]!;
          M[e] = sum;
          for (let l = 0, f = e * count; l < q; l++)
            for (let k = 0; k <= l; k++, f++) {
              const straight = W[a * q + k]! * W[b * q + l]!;
              V[f] = a === b ? straight : straight + W[a * q + l]! * W[b * q + k]!;
            }
        }
    }
    return 2 * determinant;
  };

  /** to (r x r) += weight x the packed triangle at `start`: its upper triangle, or taken from all of the corner. */
  const unpack = (to: Float64Array, from: Float64Array, start: number, weight: number): void => {
    if (!alone) {
      for (let c = 0, at = start; c < r; c++)
        for (let a = 0; a <= c; a++, at++) to[a * r + c] = to[a * r + c]! + weight * from[at]!;
      return;
    }
    for (let c = 0, at = start; c < r; c++, at++) {
      for (let a = 0; a < c; a++, at++) {
        const x = to[a * r + c]! - weight * from[at]!;
        to[a * r + c] = x;
        to[c * r + a] = x;
      }
      to[c * r + c] = to[c * r + c]! - weight * from[at]!;
    }
  };

  return {
    gather,
    eliminate(node, _, lambda, derivatives) {
      const run = runs.get(node)!;
      sums.fill(0);
      let logDeterminant = 0;
      for (let c = run.first; c < run.end; c++) {
        const size = sizes[c]!;
        if (size === 0) continue;
        logDeterminant += size * solveClass(starts[c]!, lambda, derivatives);
        const base = c * length;
        for (let l = 0, from = base; l < q; l++)
          for (let k = 0; k <= l; k++) {
            const x = K[l * q + k]!;
            for (let i = 0; i < packed; i++, from++) sumN[i] = sumN[i]! + x * G[from]!;
          }
        if (!derivatives) {
          for (const member of members[c]!) conditional.set(K, member * q * q);
          continue;
        }
        O.fill(0);
        for (let e = 0; e < count; e++) {
          const to = e * packed;
          for (let f = 0, from = base; f < count; f++) {
            const x = V[e * count + f]!;
            for (let i = 0; i < packed; i++, from++) O[to + i] = O[to + i]! + x * G[from]!;
          }
        }
        for (let i = 0; i < length; i++) sumO[i] = sumO[i]! + O[i]!;
        for (let e = 0, to = 0; e < count; e++) {
          const x = M[e]!;
          sumM[e] = sumM[e]! + size * x;
          for (let f = 0; f <= e; f++) sumMM[e * count + f] = sumMM[e * count + f]! + size * x * M[f]!;
          for (let i = 0; i < length; i++, to++) sumMO[to] = sumMO[to]! + x * O[i]!;
        }
      }
      if (Number.isNaN(logDeterminant)) return false;
      result.logDeterminant += logDeterminant;
      unpack(taken, sumN, 0, 1);
      if (!derivatives) return true;
      for (let i = 0; i < elements.length; i++) {
        unpack(takenBy[i]!, sumO, pairOf[i]! * packed, 1);
        const share = elements[i]!.length * sumM[pairOf[i]!]!;
        result.logDeterminantBy[i] = result.logDeterminantBy[i]! + share;
      }
      for (const { i, j, into, parts, bends } of secondParts) {
        for (const { at, weight } of parts) unpack(into, sumMO, at * packed, -weight);
        let bend = 0;
        for (const at of bends) bend += sumMM[at]!;
        result.logDeterminantByTwo[i * m + j] = result.logDeterminantByTwo[i * m + j]! - bend;
      }
      return true;
    },
  };
}
