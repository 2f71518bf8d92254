import type { CrossedSystem } from './crossed-system.ts';
import type { FrontFactor } from './front-factor.ts';
import type { FrontTree } from './fronts.ts';

/**
 * Products with the cross products A = Z'Z of all random effects and with the covariance factor Lambda; vectors are
 * effects x columns, row-major, the effects in the order of their elimination.
 */
export interface ScaledProducts {
  /** Fills the factor's panels with I + Lambda' A Lambda. */
  fill(factor: FrontFactor, factors: readonly Float64Array[]): void;
  /** out = A X. */
  times(x: Float64Array, columns: number, out: Float64Array): void;
  /** Overwrites X by Lambda X, or by Lambda' X. */
  scale(x: Float64Array, columns: number, factors: readonly Float64Array[], transposed: boolean): void;
  /** out = Z'[X y], effects x trailing. */
  outcomes(out: Float64Array): void;
}

export function scaledProducts(system: CrossedSystem, tree: FrontTree): ScaledProducts {
  const { stages, blocks, couplings, trailing } = system;
  const { fronts, position, frontOf } = tree;
  const starts: number[] = [];
  let levels = 0;
  for (const { nodes } of stages) {
    starts.push(levels);
    levels += nodes;
  }
  /** Where a block with the given levels stands in the panels: its first place and the length of a row. */
  const rowOf = (front: number, at: number): number => {
    const { first, pivots, border } = fronts[front]!;
    if (at < first + pivots) return at - first;
    let low = 0;
    let high = border.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (border[middle]! < at) low = middle + 1;
      else high = middle;
    }
    return pivots + low;
  };
  const places = couplings.map(({ first, second, firstNode, secondNode }) => {
    const pairs = firstNode.length;
    const at = new Float64Array(pairs);
    const stride = new Int32Array(pairs);
    /** Whether the first factor's level is eliminated later, so that its effects are the rows. */
    const rowsFirst = new Uint8Array(pairs);
    for (let k = 0; k < pairs; k++) {
      const one = position[starts[first]! + firstNode[k]!]!;
      const two = position[starts[second]! + secondNode[k]!]!;
      const later = Math.max(one, two);
      const earlier = Math.min(one, two);
      const f = frontOf[one < two ? starts[first]! + firstNode[k]! : starts[second]! + secondNode[k]!]!;
      const front = fronts[f]!;
      at[k] = front.panelAt + rowOf(f, later) * front.pivots + earlier - front.first;
      stride[k] = front.pivots;
      rowsFirst[k] = one > two ? 1 : 0;
    }
    return { at, stride, rowsFirst };
  });

  return {
    fill({ panels }, factors) {
      stages.forEach(({ nodes, effects: q, width }, s) => {
        const block = blocks[s]!;
        const lambda = factors[s]!;
        const half = new Float64Array(q * q);
        for (let node = 0; node < nodes; node++) {
          const v = starts[s]! + node;
          const { panelAt, first, pivots } = fronts[frontOf[v]!]!;
          const local = position[v]! - first;
          const from = node * q * width;
          for (let a = 0; a < q; a++)
            for (let b = 0; b < q; b++) {
              let sum = 0;
              for (let k = b; k < q; k++) sum += block[from + a * width + k]! * lambda[k * q + b]!;
              half[a * q + b] = sum;
            }
          for (let a = 0; a < q; a++)
            for (let b = 0; b <= a; b++) {
              let sum = a === b ? 1 : 0;
              for (let k = a; k < q; k++) sum += lambda[k * q + a]! * half[k * q + b]!;
              panels[panelAt + (local + a) * pivots + local + b] = sum;
            }
        }
      });
      couplings.forEach(({ first, second, values }, c) => {
        const { at, stride, rowsFirst } = places[c]!;
        const one = stages[first]!.effects;
        const two = stages[second]!.effects;
        const left = factors[first]!;
        const right = factors[second]!;
        const half = new Float64Array(one * two);
        for (let pair = 0; pair < at.length; pair++) {
          const from = pair * one * two;
          for (let a = 0; a < one; a++)
            for (let b = 0; b < two; b++) {
              let sum = 0;
              for (let k = b; k < two; k++) sum += values[from + a * two + k]! * right[k * two + b]!;
              half[a * two + b] = sum;
            }
          for (let a = 0; a < one; a++)
            for (let b = 0; b < two; b++) {
              let sum = 0;
              for (let k = a; k < one; k++) sum += left[k * one + a]! * half[k * two + b]!;
              const to = rowsFirst[pair] === 1 ? a * stride[pair]! + b : b * stride[pair]! + a;
              panels[at[pair]! + to] = sum;
            }
        }
      });
    },
    times(x, columns, out) {
      out.fill(0);
      stages.forEach(({ nodes, effects: q, width }, s) => {
        const block = blocks[s]!;
        for (let node = 0; node < nodes; node++) {
          const at = position[starts[s]! + node]!;
          for (let a = 0; a < q; a++)
            for (let b = 0; b < q; b++)
              addRow(
                out,
                (at + a) * columns,
                block[(node * q + a) * width + b]!,
                x,
                (at + b) * columns,
                columns,
              );
        }
      });
      for (const { first, second, firstNode, secondNode, values } of couplings) {
        const one = stages[first]!.effects;
        const two = stages[second]!.effects;
        let from = 0;
        for (let pair = 0; pair < firstNode.length; pair++) {
          const i = position[starts[first]! + firstNode[pair]!]!;
          const j = position[starts[second]! + secondNode[pair]!]!;
          for (let a = 0; a < one; a++)
            for (let b = 0; b < two; b++, from++) {
              const value = values[from]!;
              addRow(out, (i + a) * columns, value, x, (j + b) * columns, columns);
              addRow(out, (j + b) * columns, value, x, (i + a) * columns, columns);
            }
        }
      }
    },
    scale(x, columns, factors, transposed) {
      stages.forEach(({ nodes, effects: q }, s) => {
        const lambda = factors[s]!;
        const old = new Float64Array(q);
        for (let node = 0; node < nodes; node++) {
          const at = position[starts[s]! + node]! * columns;
          for (let c = 0; c < columns; c++) {
            for (let a = 0; a < q; a++) old[a] = x[at + a * columns + c]!;
            for (let a = 0; a < q; a++) {
              let sum = 0;
              for (let k = 0; k < q; k++)
                sum += (transposed ? lambda[k * q + a]! : lambda[a * q + k]!) * old[k]!;
              x[at + a * columns + c] = sum;
            }
          }
        }
      });
    },
    outcomes(out) {
      stages.forEach(({ nodes, effects: q, width }, s) => {
        for (let node = 0; node < nodes; node++)
          for (let a = 0; a < q; a++) {
            const from = (node * q + a) * width + q;
            const to = (position[starts[s]! + node]! + a) * trailing;
            for (let c = 0; c < trailing; c++) out[to + c] = blocks[s]![from + c]!;
          }
      });
    },
  };
}

/** out[to ...] += factor x[from ...]. */
function addRow(
  out: Float64Array,
  to: number,
  factor: number,
  x: Float64Array,
  from: number,
  columns: number,
): void {
  for (let c = 0; c < columns; c++) out[to + c] = out[to + c]! + factor * x[from + c]!;
}
