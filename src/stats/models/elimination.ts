import { choleskyInPlace } from '../../numerics/index.ts';
import { type BlockSystem, countElements, type Stage } from './block-system.ts';

/**
 * What is left of the cross products when all random effects are eliminated, with exact first and second
 * derivatives with respect to every covariance element (in units of the residual variance).
 */
export interface Eliminated {
  /** log |I + Sigma Z'Z|, the log determinant of the outcome's relative covariance. */
  logDeterminant: number;
  readonly logDeterminantBy: Float64Array;
  /** m x m. */
  readonly logDeterminantByTwo: Float64Array;
  /** [X y]' V^-1 [X y], trailing x trailing. */
  readonly corner: Float64Array;
  readonly cornerBy: readonly Float64Array[];
  /** For the pair i <= j at `pairIndex(i, j)`. */
  readonly cornerByTwo: readonly Float64Array[];
}

/** Place of the pair (i, j), i <= j, in a packed upper triangle stored column by column. */
export function pairIndex(i: number, j: number): number {
  return (j * (j + 1)) / 2 + i;
}

/** The eliminated nodes as they stand after a pass: what conditional means and covariances are made of. */
export interface NodeState {
  /** (Sigma^-1 + S)^-1 of every node, stage by stage: the covariance given the nodes above. */
  readonly conditional: readonly Float64Array[];
  /** Every node's rows with all finer nodes eliminated. */
  readonly blocks: readonly Float64Array[];
}

interface Level {
  readonly stage: Stage;
  readonly firstElement: number;
  readonly lastElement: number;
  readonly block: Float64Array;
  readonly blockBy: readonly Float64Array[];
  readonly blockByTwo: readonly Float64Array[];
  readonly conditional: Float64Array;
  /** Sums over siblings of what their elimination takes from the nodes above. */
  readonly taken: Float64Array;
  readonly takenBy: readonly Float64Array[];
  readonly takenByTwo: readonly Float64Array[];
}

const arrays = (count: number, length: number): Float64Array[] =>
  Array.from({ length: count }, () => new Float64Array(length));

/**
 * Prepares the elimination of a system: `eliminate(factors, derivatives)` takes the relative covariance factor
 * of each stage (lower or any square root Lambda, effects x effects, row-major) and eliminates every random
 * effect by block Cholesky steps.
 *
 * For one node with own block S, coupling R to everything above it and covariance Sigma = Lambda Lambda':
 *   K = (Sigma^-1 + S)^-1 = Lambda (I + Lambda' S Lambda)^-1 Lambda',  P = K R,  U = R - S P,  M = S - S K S,
 *   log determinant += log |I + Lambda' S Lambda|,   blocks above -= R' P,
 * and with dS, dR inherited from finer stages, dSigma = E of its own, B = dR - dS P:
 *   dP = K B + (I - K S) E U,   dU = B - S dP,
 *   d(R'P) = B'P + P'B + P' dS P + U' E U,
 *   d2(R'P) = d2R' P + P' d2R - P' d2S P + B_i' dP_j + dP_j' B_i + dU_j' E_i U + U' E_i dU_j.
 * The cost is that of the nodes, whatever the number of rows. Own derivation by differentiating the
 * block Cholesky step; the log likelihood is that of Harville (1977), JASA 72, 320-338.
 */
export function prepareElimination(system: BlockSystem): {
  readonly eliminate: (factors: readonly Float64Array[], derivatives: boolean) => Eliminated;
  readonly nodes: NodeState;
} {
  const m = countElements(system);
  const D = system.trailing;
  let counted = 0;
  const levels: Level[] = system.stages.map((stage, index) => {
    const firstElement = counted;
    counted += stage.elements.length;
    const length = stage.nodes * stage.effects * stage.width;
    const above = stage.width - stage.effects;
    const pairs = (count: number) => (count * (count + 1)) / 2;
    return {
      stage,
      firstElement,
      lastElement: counted,
      block: new Float64Array(system.blocks[index]!.length),
      blockBy: arrays(firstElement, length),
      blockByTwo: arrays(pairs(firstElement), length),
      conditional: new Float64Array(stage.nodes * stage.effects * stage.effects),
      taken: new Float64Array(above * above),
      takenBy: arrays(counted, above * above),
      takenByTwo: arrays(pairs(counted), above * above),
    };
  });
  const result: Eliminated = {
    logDeterminant: 0,
    logDeterminantBy: new Float64Array(m),
    logDeterminantByTwo: new Float64Array(m * m),
    corner: new Float64Array(D * D),
    cornerBy: arrays(m, D * D),
    cornerByTwo: arrays((m * (m + 1)) / 2, D * D),
  };
  const steps = levels.map((level) => prepareStep(level, m, result));

  /** Takes `taken` from the blocks above node `child` of stage s. */
  const hand = (
    s: number,
    node: number,
    taken: Float64Array,
    blockOf: (level: Level) => Float64Array,
    corner: Float64Array,
  ): void => {
    const size = levels[s]!.stage.width - levels[s]!.stage.effects;
    mirror(taken, size);
    let row = 0;
    let at = levels[s]!.stage.parent[node]!;
    for (let t = s + 1; t < levels.length; t++) {
      const { stage } = levels[t]!;
      const block = blockOf(levels[t]!);
      let to = at * stage.effects * stage.width;
      const start = row;
      for (let a = 0; a < stage.effects; a++, row++) {
        const from = row * size;
        for (let c = start; c < size; c++, to++) block[to] = block[to]! - taken[from + c]!;
      }
      at = stage.parent[at]!;
    }
    let to = 0;
    const start = row;
    for (; row < size; row++)
      for (let c = start; c < size; c++, to++) corner[to] = corner[to]! - taken[row * size + c]!;
    taken.fill(0);
  };

  const eliminate = (factors: readonly Float64Array[], derivatives: boolean): Eliminated => {
    result.logDeterminant = 0;
    result.corner.set(system.corner);
    levels.forEach((level, s) => {
      level.block.set(system.blocks[s]!);
    });
    if (derivatives) {
      result.logDeterminantBy.fill(0);
      result.logDeterminantByTwo.fill(0);
      for (const corner of result.cornerBy) corner.fill(0);
      for (const corner of result.cornerByTwo) corner.fill(0);
      for (const level of levels) {
        for (const block of level.blockBy) block.fill(0);
        for (const block of level.blockByTwo) block.fill(0);
      }
    }
    for (let s = 0; s < levels.length; s++) {
      const level = levels[s]!;
      const { nodes, parent } = level.stage;
      for (let node = 0; node < nodes; node++) {
        if (!steps[s]!(node, factors[s]!, derivatives)) {
          result.logDeterminant = Number.NaN;
          return result;
        }
        if (node + 1 < nodes && parent[node + 1] === parent[node]) continue;
        hand(s, node, level.taken, (above) => above.block, result.corner);
        if (!derivatives) continue;
        for (let i = 0; i < level.lastElement; i++)
          hand(s, node, level.takenBy[i]!, (above) => above.blockBy[i]!, result.cornerBy[i]!);
        for (let ij = 0; ij < level.takenByTwo.length; ij++)
          hand(s, node, level.takenByTwo[ij]!, (above) => above.blockByTwo[ij]!, result.cornerByTwo[ij]!);
      }
    }
    for (let i = 0; i < m; i++)
      for (let j = 0; j < i; j++)
        result.logDeterminantByTwo[i * m + j] = result.logDeterminantByTwo[j * m + i]!;
    return result;
  };
  return {
    eliminate,
    nodes: {
      conditional: levels.map((level) => level.conditional),
      blocks: levels.map((level) => level.block),
    },
  };
}

/** The elimination of one node of a level; false when the block is not finite. */
function prepareStep(
  level: Level,
  m: number,
  result: Eliminated,
): (node: number, lambda: Float64Array, derivatives: boolean) => boolean {
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
  const PBy = arrays(known, q * r);
  const UBy = arrays(known, q * r);
  const BBy = arrays(inherited, q * r);
  const SBy = arrays(inherited, q * q);
  const KSBy = arrays(inherited, q * q);
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

  return (node, lambda, derivatives) => {
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
}

/** Copies the upper triangle of an r x r matrix to the lower. */
function mirror(a: Float64Array, r: number): void {
  for (let i = 0; i < r; i++) for (let j = 0; j < i; j++) a[i * r + j] = a[j * r + i]!;
}
