import type { CovarianceElement } from '../block-system.ts';
import type { CrossedSystem } from './crossed-system.ts';
import type { FrontFactor } from './front-factor.ts';
import type { FrontTree } from './fronts.ts';
import type { ScaledProducts } from './scaled-products.ts';
import { selectedInverse } from './selected-inverse.ts';

/** Columns of N worked out together. */
const CHUNK = 24;
/** A covariance factor whose inverse is larger than this would lose too many digits of N. */
const STEEPEST = 1e6;

export interface EffectTraces {
  /** tr(E_i N) of every element. */
  first(factors: readonly Float64Array[], by: Float64Array): void;
  /** The same and -tr(E_i N E_j N), m x m. */
  both(factors: readonly Float64Array[], by: Float64Array, byTwo: Float64Array): void;
  /** Writes the diagonal blocks of M^-1, level after level (q x q each, stage after stage). */
  blocks(): Float64Array;
}

/**
 * Traces of N = Z'V^-1 Z, all of it or its diagonal blocks only. The latter are Lambda^-T (I - M^-1) Lambda^-1, or, for
 * factors that are singular or nearly so, A - C'C with C = L^-1 Lambda' A, column by column.
 */
export function effectTraces(
  system: CrossedSystem,
  tree: FrontTree,
  products: ScaledProducts,
  factor: FrontFactor,
): EffectTraces {
  const { stages } = system;
  const size = tree.effects;
  const firstLevel: number[] = [];
  const firstElement: number[] = [];
  let levels = 0;
  let m = 0;
  for (const { nodes, elements } of stages) {
    firstLevel.push(levels);
    firstElement.push(m);
    levels += nodes;
    m += elements.length;
  }
  const weight = new Int32Array(levels);
  const blockAt = new Int32Array(levels);
  let length = 0;
  stages.forEach(({ nodes, effects }, s) => {
    for (let node = 0; node < nodes; node++) {
      weight[firstLevel[s]! + node] = effects;
      blockAt[firstLevel[s]! + node] = length;
      length += effects * effects;
    }
  });
  const inverse = new Float64Array(length);
  let select: ((out: Float64Array) => void) | null = null;
  const blocks = (): Float64Array => {
    select ??= selectedInverse(factor, weight, blockAt);
    select(inverse);
    return inverse;
  };
  const columns = new Float64Array(size * CHUNK);
  const carried = new Float64Array(size * CHUNK);
  const again = new Float64Array(size * CHUNK);

  /** Unit columns of some nodes of a stage, times A into `columns`; how many columns there are. */
  const unitColumns = (s: number, from: number, to: number): number => {
    const q = stages[s]!.effects;
    const width = (to - from) * q;
    carried.fill(0, 0, size * width);
    for (let node = from; node < to; node++)
      for (let a = 0; a < q; a++)
        carried[(tree.position[firstLevel[s]! + node]! + a) * width + (node - from) * q + a] = 1;
    products.times(carried.subarray(0, size * width), width, columns.subarray(0, size * width));
    return width;
  };
  const eachChunk = (s: number, visit: (from: number, to: number) => void): void => {
    const step = Math.max(1, Math.floor(CHUNK / stages[s]!.effects));
    for (let from = 0; from < stages[s]!.nodes; from += step)
      visit(from, Math.min(stages[s]!.nodes, from + step));
  };
  const addTraces = (s: number, block: (a: number, b: number) => number, by: Float64Array): void => {
    stages[s]!.elements.forEach(({ places }: CovarianceElement, i) => {
      for (let e = 0; e < places.length; e += 2)
        by[firstElement[s]! + i] = by[firstElement[s]! + i]! + block(places[e]!, places[e + 1]!);
    });
  };

  /** The diagonal blocks of N of a stage by solving for each of its columns. */
  const firstByColumns = (s: number, factors: readonly Float64Array[], by: Float64Array): void => {
    const q = stages[s]!.effects;
    const sum = new Float64Array(q * q);
    eachChunk(s, (from, to) => {
      const width = unitColumns(s, from, to);
      const all = size * width;
      const solved = carried.subarray(0, all);
      solved.set(columns.subarray(0, all));
      products.scale(solved, width, factors, true);
      factor.forward(solved, width);
      for (let node = from; node < to; node++) {
        const at = tree.position[firstLevel[s]! + node]!;
        const own = (node - from) * q;
        for (let a = 0; a < q; a++)
          for (let b = 0; b < q; b++) sum[a * q + b] = sum[a * q + b]! + columns[(at + a) * width + own + b]!;
        for (let k = 0; k < size; k++)
          for (let a = 0; a < q; a++) {
            const x = solved[k * width + own + a]!;
            if (x === 0) continue;
            for (let b = 0; b < q; b++) sum[a * q + b] = sum[a * q + b]! - x * solved[k * width + own + b]!;
          }
      }
    });
    addTraces(s, (a, b) => sum[a * q + b]!, by);
  };

  return {
    blocks,
    first(factors, by) {
      by.fill(0);
      const inverses = stages.map(({ effects }, s) => inverseLower(factors[s]!, effects));
      const known = inverses.some((found) => found !== null) ? blocks() : inverse;
      stages.forEach(({ nodes, effects: q }, s) => {
        const lambda = inverses[s];
        if (!lambda) {
          firstByColumns(s, factors, by);
          return;
        }
        // The sum over nodes comes first: all share one factor.
        const sum = new Float64Array(q * q);
        const start = blockAt[firstLevel[s]!]!;
        for (let node = 0; node < nodes; node++)
          for (let k = 0; k < q * q; k++) sum[k] = sum[k]! - known[start + node * q * q + k]!;
        for (let a = 0; a < q; a++) sum[a * q + a] = sum[a * q + a]! + nodes;
        const half = new Float64Array(q * q);
        const block = new Float64Array(q * q);
        for (let a = 0; a < q; a++)
          for (let b = 0; b < q; b++)
            for (let k = 0; k < q; k++)
              half[a * q + b] = half[a * q + b]! + sum[a * q + k]! * lambda[k * q + b]!;
        for (let a = 0; a < q; a++)
          for (let b = 0; b < q; b++)
            for (let k = 0; k < q; k++)
              block[a * q + b] = block[a * q + b]! + lambda[k * q + a]! * half[k * q + b]!;
        addTraces(s, (a, b) => block[a * q + b]!, by);
      });
    },
    both(factors, by, byTwo) {
      by.fill(0);
      byTwo.fill(0);
      stages.forEach(({ effects: q, elements }, s) => {
        eachChunk(s, (from, to) => {
          const width = unitColumns(s, from, to);
          const all = size * width;
          const N = columns.subarray(0, all);
          const solved = carried.subarray(0, all);
          const taken = again.subarray(0, all);
          solved.set(N);
          products.scale(solved, width, factors, true);
          factor.forward(solved, width);
          factor.backward(solved, width);
          products.scale(solved, width, factors, false);
          products.times(solved, width, taken);
          for (let k = 0; k < all; k++) N[k] = N[k]! - taken[k]!;
          for (let node = from; node < to; node++) {
            const at = tree.position[firstLevel[s]! + node]!;
            const own = (node - from) * q;
            addTraces(s, (a, b) => N[(at + a) * width + own + b]!, by);
            for (let t = 0; t <= s; t++)
              stages[t]!.elements.forEach(({ places: other }, i) => {
                elements.forEach(({ places }, j) => {
                  byTwo[(firstElement[s]! + j) * m + firstElement[t]! + i] =
                    byTwo[(firstElement[s]! + j) * m + firstElement[t]! + i]! -
                    squares(N, width, own, places, t, other);
                });
              });
          }
        });
      });
      for (let j = 0; j < m; j++) for (let i = 0; i < j; i++) byTwo[i * m + j] = byTwo[j * m + i]!;
    },
  };

  /** Sum over the nodes of stage t of N_xa N_yb, (a, b) running over `places` of one node, (x, y) over `other`. */
  function squares(
    N: Float64Array,
    width: number,
    own: number,
    places: Int32Array,
    t: number,
    other: Int32Array,
  ): number {
    let sum = 0;
    for (let node = 0; node < stages[t]!.nodes; node++) {
      const at = tree.position[firstLevel[t]! + node]!;
      for (let o = 0; o < other.length; o += 2) {
        const x = (at + other[o]!) * width + own;
        const y = (at + other[o + 1]!) * width + own;
        for (let e = 0; e < places.length; e += 2) sum += N[x + places[e]!]! * N[y + places[e + 1]!]!;
      }
    }
    return sum;
  }
}

/** The inverse of a lower factor, or null where it has none that would keep enough digits. */
function inverseLower(lambda: Float64Array, q: number): Float64Array | null {
  const out = new Float64Array(q * q);
  let square = 0;
  for (let j = 0; j < q; j++)
    for (let i = j; i < q; i++) {
      let sum = i === j ? 1 : 0;
      for (let k = j; k < i; k++) sum -= lambda[i * q + k]! * out[k * q + j]!;
      out[i * q + j] = sum / lambda[i * q + i]!;
      square += out[i * q + j]! ** 2;
    }
  return square < STEEPEST ? out : null;
}
