import { chiSquaredDraw, type Stream } from '../../../numerics/index.ts';
import type { BlockSystem } from '../linear/block-system.ts';

/** A pivot below this share of its column is zero: the column follows from finer ones. */
const NO_PIVOT = 1e-9;

/**
 * Prepares the drawing of outcomes of a nested model without its rows: what a fit needs of an outcome are the sums W'y
 * and y'y, W holding all random and fixed columns. With W'W = L L' (block by block, from the finest group up),
 * y = W g + e, g ~ the random effects and e ~ N(0, I),
 *   v = L'g + L^- W'e ~ L'g + N(0, I),   W'y = L v,   y'y = v'v + chi-squared with rows - rank(W) df,
 * because what e has outside the columns of W is independent of what it has inside. The draw writes the sums into the
 * system's blocks and corner, in units of the residual SD, with all fixed effects zero (a shift the caller adds).
 * This is the law of the sums itself, not an approximation of it.
 */
export function prepareSums(system: BlockSystem): (stream: Stream, factors: readonly Float64Array[]) => void {
  const { stages, blocks, corner, trailing: D, rows } = system;
  const p = D - 1;
  const work = blocks.map((block) => Float64Array.from(block));
  const rest = Float64Array.from(corner);
  let rank = 0;
  /** Turns a node's rows [S | R] into [L' | L^-1 R], and returns how many pivots there were. */
  const factorise = (a: Float64Array, start: number, q: number, width: number, whole: Float64Array) => {
    for (let i = 0; i < q; i++) {
      const row = start + i * width;
      const pivot = a[row + i]!;
      if (!(pivot > NO_PIVOT * whole[start + i * width + i]!)) {
        a.fill(0, row, row + width);
        continue;
      }
      rank++;
      const root = Math.sqrt(pivot);
      for (let c = i; c < width; c++) a[row + c] = a[row + c]! / root;
      for (let k = i + 1; k < q; k++) {
        const x = a[row + k]!;
        for (let c = k; c < width; c++)
          a[start + k * width + c] = a[start + k * width + c]! - x * a[row + c]!;
      }
    }
  };
  stages.forEach(({ nodes, effects: q, width, parent }, s) => {
    for (let node = 0; node < nodes; node++) {
      const start = node * q * width;
      factorise(work[s]!, start, q, width, blocks[s]!);
      for (let i = 0; i < q; i++) {
        const row = start + i * width;
        let column = q;
        let at = parent[node]!;
        for (let t = s + 1; t < stages.length; t++) {
          const above = stages[t]!;
          for (let a = 0; a < above.effects; a++, column++) {
            const x = work[s]![row + column]!;
            const to = (at * above.effects + a) * above.width;
            for (let c = a; c < above.width; c++)
              work[t]![to + c] = work[t]![to + c]! - x * work[s]![row + column - a + c]!;
          }
          at = above.parent[at]!;
        }
        for (let a = 0; a < p; a++)
          for (let c = a; c < p; c++)
            rest[a * D + c] = rest[a * D + c]! - work[s]![row + column + a]! * work[s]![row + column + c]!;
      }
    }
  });
  factorise(rest, 0, p, D, corner);
  const left = rows - rank;

  const effects = stages.map(({ nodes, effects: q }) => new Float64Array(nodes * q));
  const most = Math.max(1, ...stages.map((stage) => stage.effects));
  const z = new Float64Array(most);
  return (stream, factors) => {
    for (let s = 0; s < stages.length; s++) {
      const { nodes, effects: q, width } = stages[s]!;
      const factor = factors[s]!;
      const block = blocks[s]!;
      for (let node = 0; node < nodes; node++) {
        for (let a = 0; a < q; a++) z[a] = stream.normal();
        for (let a = 0; a < q; a++) {
          let sum = 0;
          for (let b = 0; b <= a; b++) sum += factor[a * q + b]! * z[b]!;
          effects[s]![node * q + a] = sum;
          block[(node * q + a) * width + width - 1] = 0;
        }
      }
    }
    for (let a = 0; a < p; a++) corner[a * D + p] = 0;
    let square = left === 0 ? 0 : chiSquaredDraw(stream, left);
    for (let s = 0; s < stages.length; s++) {
      const { nodes, effects: q, width, parent } = stages[s]!;
      const rows = work[s]!;
      for (let node = 0; node < nodes; node++) {
        const own = node * q;
        for (let i = 0; i < q; i++) {
          const row = (own + i) * width;
          if (rows[row + i] === 0) continue;
          let v = stream.normal();
          for (let a = i; a < q; a++) v += rows[row + a]! * effects[s]![own + a]!;
          let column = q;
          let at = parent[node]!;
          for (let t = s + 1; t < stages.length; t++) {
            const above = stages[t]!.effects;
            for (let a = 0; a < above; a++) v += rows[row + column++]! * effects[t]![at * above + a]!;
            at = stages[t]!.parent[at]!;
          }
          square += v * v;
          for (let a = i; a < q; a++) {
            const to = (own + a) * width + width - 1;
            blocks[s]![to] = blocks[s]![to]! + rows[row + a]! * v;
          }
          column = q;
          at = parent[node]!;
          for (let t = s + 1; t < stages.length; t++) {
            const above = stages[t]!;
            for (let a = 0; a < above.effects; a++) {
              const to = (at * above.effects + a) * above.width + above.width - 1;
              blocks[t]![to] = blocks[t]![to]! + rows[row + column++]! * v;
            }
            at = above.parent[at]!;
          }
          for (let a = 0; a < p; a++) corner[a * D + p] = corner[a * D + p]! + rows[row + column + a]! * v;
        }
      }
    }
    for (let i = 0; i < p; i++) {
      if (rest[i * D + i] === 0) continue;
      const v = stream.normal();
      square += v * v;
      for (let a = i; a < p; a++) corner[a * D + p] = corner[a * D + p]! + rest[i * D + a]! * v;
    }
    for (let a = 0; a < p; a++) corner[p * D + a] = corner[a * D + p]!;
    corner[p * D + p] = square;
  };
}
