/** What is left of pooled products without one cluster, against products of the rows of the others summed anew. */
import { describe, expect, it } from 'vitest';
import { createStream } from '../../../src/numerics/index.ts';
import { clusterProducts } from '../../../src/stats/index.ts';
import { productsWithout } from '../../../src/studies/mechanism/analysis/products-without.ts';

/** Clusters of 4 to 9 rows; the spread of the first is `first` times that of the others. */
function drawn(first: number) {
  const stream = createStream(4, 'clusters');
  const cluster: number[] = [];
  const columns: number[][] = [[], [], []];
  const errors: number[][] = [[], [], []];
  for (let g = 0; g < 12; g++)
    for (let i = 0; i < 4 + (g % 6); i++) {
      cluster.push(g);
      const x = stream.normal() * (g === 0 ? first : 1);
      for (const [k, value] of [x, 2 * x + stream.normal(), stream.normal()].entries()) {
        columns[k]!.push(1000 + value);
        errors[k]!.push(k === 0 ? 0.1 + 0.01 * g : 0);
      }
    }
  return { cluster, columns, errors };
}

describe('products without a cluster', () => {
  // With a million times the spread of the others the difference would keep no digits of theirs.
  it.each([1, 1e3, 1e6])('are those of the others, the first %s times as wide', (first) => {
    const { cluster, columns, errors } = drawn(first);
    const all = clusterProducts(cluster, columns, errors);
    for (const corrected of [false, true]) {
      const without = productsWithout(all, corrected);
      for (let g = 0; g < 12; g++) {
        const found = without(g);
        const expected = new Float64Array(9);
        for (let h = 0; h < 12; h++) {
          if (h === g) continue;
          const rows = cluster.flatMap((one, i) => (one === h ? [i] : []));
          const mean = columns.map((column) => rows.reduce((sum, i) => sum + column[i]!, 0) / rows.length);
          for (const i of rows)
            for (let a = 0; a < 3; a++)
              for (let b = 0; b < 3; b++)
                expected[3 * a + b]! += (columns[a]![i]! - mean[a]!) * (columns[b]![i]! - mean[b]!);
          if (corrected)
            expected[0]! -= rows.reduce((sum, i) => sum + errors[0]![i]!, 0) * (1 - 1 / rows.length);
        }
        for (let a = 0; a < 3; a++)
          for (let b = 0; b < 3; b++) {
            const scale = Math.sqrt(Math.abs(expected[4 * a]! * expected[4 * b]!));
            expect(Math.abs(found[3 * a + b]! - expected[3 * a + b]!)).toBeLessThan(1e-9 * scale);
          }
      }
    }
  });
});
