/** The order of elimination and the sparse factor on random graphs, against dense matrices. */
import { describe, expect, it } from 'vitest';
import { createStream, inverseOfPositiveDefinite } from '../../../../src/numerics/index.ts';
import {
  eliminationOrder,
  type LevelGraph,
} from '../../../../src/stats/models/linear/crossed/elimination-order.ts';
import { frontFactor } from '../../../../src/stats/models/linear/crossed/front-factor.ts';
import { type FrontTree, frontTree } from '../../../../src/stats/models/linear/crossed/fronts.ts';
import { selectedInverse } from '../../../../src/stats/models/linear/crossed/selected-inverse.ts';

function graphOf(weights: readonly number[], pairs: readonly (readonly [number, number])[]): LevelGraph {
  const lists = weights.map((): number[] => []);
  for (const [a, b] of pairs) {
    lists[a]!.push(b);
    lists[b]!.push(a);
  }
  const starts = new Int32Array(weights.length + 1);
  lists.forEach((list, v) => {
    starts[v + 1] = starts[v]! + list.length;
  });
  return { weight: Int32Array.from(weights), starts, neighbours: Int32Array.from(lists.flat()) };
}

/** `large` levels each tied to one to three of `small` ones, the small ones to each other now and then. */
function randomGraph(seed: number) {
  const stream = createStream(seed);
  const large = 3 + Math.floor(stream.uniform() * 40);
  const small = 2 + Math.floor(stream.uniform() * 15);
  const weights = Array.from({ length: large + small }, () => 1 + Math.floor(stream.uniform() * 3));
  const keys = new Set<number>();
  for (let v = 0; v < large; v++)
    for (let k = 0; k < 1 + Math.floor(stream.uniform() * 3); k++)
      keys.add(v * 1000 + large + Math.floor(stream.uniform() * small));
  for (let v = large; v < large + small; v++)
    for (let u = large; u < v; u++) if (stream.uniform() < 0.1) keys.add(u * 1000 + v);
  const pairs = [...keys].map((key) => [Math.floor(key / 1000), key % 1000] as const);
  return { weights, pairs, graph: graphOf(weights, pairs), stream };
}

/** The lower triangle of a matrix written to the fronts' panels; false where an entry has no place. */
function fill(tree: FrontTree, panels: Float64Array, dense: Float64Array): void {
  const n = tree.effects;
  for (const { first, pivots, border, panelAt } of tree.fronts)
    [...Array.from({ length: pivots }, (_, k) => first + k), ...border].forEach((row, i) => {
      for (let k = 0; k < pivots; k++)
        if (row >= first + k) panels[panelAt + i * pivots + k] = dense[row * n + first + k]!;
    });
}

describe.each(Array.from({ length: 40 }, (_, i) => i + 1))('random graph %i', (seed) => {
  const { weights, pairs, graph, stream } = randomGraph(seed);

  it('every level is eliminated once, and its border comes later', () => {
    const steps = eliminationOrder(graph);
    const order = steps.flatMap(({ pivots }) => pivots);
    expect([...order].sort((a, b) => a - b)).toEqual(weights.map((_, v) => v));
    const place = new Map(order.map((v, at) => [v, at]));
    for (const { pivots, border } of steps)
      for (const v of border) for (const u of pivots) expect(place.get(v)!).toBeGreaterThan(place.get(u)!);
  });

  it('the factor solves, and its determinant and inverse are those of the dense matrix', () => {
    const tree = frontTree(graph);
    const n = tree.effects;
    expect(n).toBe(weights.reduce((sum, w) => sum + w, 0));
    const dense = new Float64Array(n * n);
    const put = (v: number, u: number, diagonal: boolean) => {
      for (let a = 0; a < weights[v]!; a++)
        for (let b = 0; b < weights[u]!; b++) {
          const i = tree.position[v]! + a;
          const j = tree.position[u]! + b;
          if (diagonal && b > a) continue;
          const value = stream.normal();
          dense[i * n + j] = value;
          dense[j * n + i] = value;
        }
    };
    weights.forEach((_, v) => {
      put(v, v, true);
    });
    for (const [v, u] of pairs) put(v, u, false);
    for (let i = 0; i < n; i++) {
      let row = 0;
      for (let j = 0; j < n; j++) row += Math.abs(dense[i * n + j]!);
      dense[i * n + i] = row + 1;
    }
    const inverse = inverseOfPositiveDefinite(dense, n)!;

    const factor = frontFactor(tree);
    factor.clear();
    fill(tree, factor.panels, dense);
    const logDeterminant = factor.factor();
    // |A| by elimination without any order.
    const work = Float64Array.from(dense);
    let expected = 0;
    for (let k = 0; k < n; k++) {
      const pivot = work[k * n + k]!;
      expected += Math.log(pivot);
      for (let i = k + 1; i < n; i++)
        for (let j = k + 1; j < n; j++) work[i * n + j]! -= (work[i * n + k]! * work[k * n + j]!) / pivot;
    }
    expect(Math.abs(logDeterminant - expected)).toBeLessThan(1e-10);

    const x = Float64Array.from({ length: 2 * n }, () => stream.normal());
    const solved = Float64Array.from(x);
    factor.forward(solved, 2);
    factor.backward(solved, 2);
    for (let i = 0; i < n; i++)
      for (let c = 0; c < 2; c++) {
        let sum = 0;
        for (let j = 0; j < n; j++) sum += dense[i * n + j]! * solved[2 * j + c]!;
        expect(Math.abs(sum - x[2 * i + c]!)).toBeLessThan(1e-11);
      }

    const blockAt: number[] = [];
    let length = 0;
    for (const w of weights) {
      blockAt.push(length);
      length += w * w;
    }
    const blocks = new Float64Array(length);
    selectedInverse(factor, graph.weight, Int32Array.from(blockAt))(blocks);
    weights.forEach((w, v) => {
      for (let a = 0; a < w; a++)
        for (let b = 0; b < w; b++) {
          const whole = inverse[(tree.position[v]! + a) * n + tree.position[v]! + b]!;
          expect(Math.abs(blocks[blockAt[v]! + a * w + b]! - whole)).toBeLessThan(1e-12);
        }
    });
  });
});

describe('fill', () => {
  it('a tree has none: nested chains are eliminated from the leaves', () => {
    const pairs = Array.from({ length: 400 }, (_, k) => [k + 1, Math.floor(k / 3)] as const);
    const { panelLength } = frontTree(graphOf(new Array(401).fill(1), pairs));
    // One entry for each level and one for each tie, and what two levels share in a front.
    expect(panelLength).toBeLessThanOrEqual(401 + 400 + 401);
  });

  it('five thousand golfers, most with one of 300 instructors, never meet in one square', () => {
    const stream = createStream(7);
    const pairs = Array.from({ length: 5000 }, (_, g) => {
      const own = new Set([Math.floor(stream.uniform() * 300)]);
      if (stream.uniform() < 0.2) own.add(Math.floor(stream.uniform() * 300));
      return [...own].map((i) => [g, 5000 + i] as const);
    }).flat();
    const { fronts, panelLength } = frontTree(graphOf(new Array(5300).fill(1), pairs));
    expect(Math.max(...fronts.map(({ pivots, border }) => pivots + border.length))).toBeLessThanOrEqual(300);
    expect(panelLength).toBeLessThan(3 * 5000 + 300 * 300);
  });

  it('where everything is tied to everything there is one front', () => {
    const pairs = Array.from({ length: 30 }, (_, i) => Array.from({ length: i }, (__, j) => [j, i] as const));
    expect(frontTree(graphOf(new Array(30).fill(2), pairs.flat())).fronts).toHaveLength(1);
  });
});
