import { type BlockSystem, countElements } from './block-system.ts';
import type { CrossedState } from './crossed/crossed-state.ts';
import { finestElimination, fitsFinest } from './eliminate-finest.ts';
import { generalElimination } from './eliminate-node.ts';
import { type Eliminated, type Level, pairCount, zeroArrays } from './elimination-level.ts';
import { addedTo, siblingRuns } from './elimination-runs.ts';

/** The eliminated nodes as they stand after a pass without derivatives: what conditional means and covariances are made of. */
export interface NodeState {
  /** (Sigma^-1 + S)^-1 of every node, stage by stage: the covariance given the nodes above. */
  readonly conditional: readonly Float64Array[];
  /** Every node's rows with all finer nodes eliminated. */
  readonly blocks: readonly Float64Array[];
  /** In their stead for crossed factors. */
  readonly crossed?: CrossedState;
}

export interface Elimination {
  /** Returns `eliminated`, overwritten. */
  /** `exact` asks for second derivatives that are dear, too. */
  readonly eliminate: (factors: readonly Float64Array[], derivatives: boolean, exact?: boolean) => Eliminated;
  readonly eliminated: Eliminated;
  /**
   * To be called when the outcome's columns of the system have changed, or when the nodes of the last stage (with all
   * in them) shall count `counts` times each, the corner having been weighted alike.
   */
  readonly refresh: (counts?: Float64Array | null) => void;
  readonly nodes: NodeState;
  /** Whether one pass takes a twentieth of a second or more. */
  readonly dear?: boolean;
}

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
export function prepareElimination(system: BlockSystem): Elimination {
  const m = countElements(system);
  const D = system.trailing;
  let counted = 0;
  const levels: Level[] = system.stages.map((stage, index) => {
    const firstElement = counted;
    counted += stage.elements.length;
    const length = stage.nodes * stage.effects * stage.width;
    const above = stage.width - stage.effects;
    return {
      stage,
      firstElement,
      lastElement: counted,
      // Nothing is taken out of the finest blocks, so they need no copy.
      block: index === 0 ? system.blocks[0]! : new Float64Array(length),
      blockBy: zeroArrays(firstElement, length),
      blockByTwo: zeroArrays(pairCount(firstElement), length),
      conditional: new Float64Array(stage.nodes * stage.effects * stage.effects),
      taken: new Float64Array(above * above),
      takenBy: zeroArrays(counted, above * above),
      takenByTwo: zeroArrays(pairCount(counted), above * above),
    };
  });
  const corners = zeroArrays(m + pairCount(m), D * D);
  const derivativesOfCorner = new Float64Array(corners[0]?.buffer ?? new ArrayBuffer(0));
  const result: Eliminated = {
    logDeterminant: 0,
    logDeterminantBy: new Float64Array(m),
    logDeterminantByTwo: new Float64Array(m * m),
    curvatureKnown: true,
    corner: new Float64Array(D * D),
    cornerBy: corners.slice(0, m),
    cornerByTwo: corners.slice(m),
  };
  const gathered = levels.length > 0 && fitsFinest(levels[0]!);
  const steps = levels.map((level, s) =>
    s === 0 && gathered
      ? finestElimination(level, m, result, levels.length === 1)
      : generalElimination(level, m, result),
  );
  const runs = system.stages.map(siblingRuns);
  const last = levels.length - 1;
  const rootOf = (s: number, node: number): number => {
    let at = node;
    for (let t = s; t < last; t++) at = system.stages[t]!.parent[at]!;
    return at;
  };
  let multiplicity: Float64Array | null = null;

  /** Takes `taken` from the blocks above a node of stage s and, `weight` times, from the corner. */
  const hand = (
    s: number,
    node: number,
    weight: number,
    taken: Float64Array,
    blockOf: (level: Level) => Float64Array,
    corner: Float64Array,
  ): void => {
    const size = levels[s]!.stage.width - levels[s]!.stage.effects;
    if (s === last) {
      for (let a = 0; a < size; a++)
        for (let c = a; c < size; c++) {
          const share = weight * taken[a * size + c]!;
          corner[a * size + c] = corner[a * size + c]! - share;
          if (c > a) corner[c * size + a] = corner[c * size + a]! - share;
        }
      taken.fill(0);
      return;
    }
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
      for (let c = start; c < size; c++, to++) corner[to] = corner[to]! - weight * taken[row * size + c]!;
    taken.fill(0);
  };

  const giveUp = (): void => {
    result.logDeterminant = Number.NaN;
    for (const { taken, takenBy, takenByTwo } of levels)
      for (const sum of [taken, ...takenBy, ...takenByTwo]) sum.fill(0);
  };

  const eliminateRun = (
    s: number,
    first: number,
    end: number,
    weight: number,
    factor: Float64Array,
    derivatives: boolean,
  ): boolean => {
    const level = levels[s]!;
    const restore = weight === 1 ? null : addedTo(result, weight);
    if (!steps[s]!.eliminate(first, end, factor, derivatives)) return false;
    restore?.();
    if (gathered && last === 0) return true;
    hand(s, first, weight, level.taken, blockOf, result.corner);
    if (!derivatives) return true;
    for (let i = 0; i < level.lastElement; i++)
      hand(s, first, weight, level.takenBy[i]!, (above) => above.blockBy[i]!, result.cornerBy[i]!);
    for (let ij = 0; ij < level.takenByTwo.length; ij++)
      hand(
        s,
        first,
        weight,
        level.takenByTwo[ij]!,
        (above) => above.blockByTwo[ij]!,
        result.cornerByTwo[ij]!,
      );
    return true;
  };

  const eliminate = (factors: readonly Float64Array[], derivatives: boolean): Eliminated => {
    result.logDeterminant = 0;
    result.corner.set(system.corner);
    for (let s = 1; s < levels.length; s++) levels[s]!.block.set(system.blocks[s]!);
    if (derivatives) {
      result.logDeterminantBy.fill(0);
      result.logDeterminantByTwo.fill(0);
      derivativesOfCorner.fill(0);
      for (const level of levels) {
        for (const block of level.blockBy) block.fill(0);
        for (const block of level.blockByTwo) block.fill(0);
      }
    }
    for (let s = 0; s <= last; s++) {
      const alone = multiplicity !== null && s === last && !(s === 0 && gathered);
      for (const [from, end] of runs[s]!)
        for (let first = from; first < end; first = alone ? first + 1 : end) {
          const weighted = multiplicity !== null && (s < last || alone);
          const weight = weighted ? multiplicity![rootOf(s, first)]! : 1;
          if (weight === 0) continue;
          if (!eliminateRun(s, first, alone ? first + 1 : end, weight, factors[s]!, derivatives)) {
            giveUp();
            return result;
          }
        }
    }
    for (let i = 0; i < m; i++)
      for (let j = 0; j < i; j++)
        result.logDeterminantByTwo[i * m + j] = result.logDeterminantByTwo[j * m + i]!;
    return result;
  };
  return {
    eliminate,
    eliminated: result,
    refresh(counts = null) {
      multiplicity = counts;
      for (const step of steps) step.gather(last === 0 ? counts : null);
    },
    nodes: {
      conditional: levels.map((level) => level.conditional),
      blocks: levels.map((level) => level.block),
    },
  };
}

const blockOf = (level: Level): Float64Array => level.block;

/** Copies the upper triangle of an r x r matrix to the lower. */
function mirror(a: Float64Array, r: number): void {
  for (let i = 0; i < r; i++) for (let j = 0; j < i; j++) a[i * r + j] = a[j * r + i]!;
}
