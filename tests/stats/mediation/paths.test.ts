import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createStream } from '../../../src/numerics/index.ts';
import {
  alongRoute,
  clusterProducts,
  fitModel,
  ownSlopes,
  pooledProducts,
  recursivePaths,
  slopeCovariance,
  totalAlong,
  turningPoint,
} from '../../../src/stats/index.ts';

function drawn(seed: number, clusters: number, rows: number) {
  const stream = createStream(seed);
  const [cluster, x, m, y]: number[][] = [[], [], [], []];
  for (let g = 0; g < clusters; g++) {
    const level = 20 * stream.normal();
    for (let k = 0; k < rows; k++) {
      const one = level + stream.normal();
      const two = 0.5 * one + level + stream.normal();
      cluster!.push(g);
      x!.push(one);
      m!.push(two);
      y!.push(0.3 * two - 0.2 * one + 3 * level + stream.normal());
    }
  }
  return { cluster: cluster!, x: x!, m: m!, y: y! };
}

describe('paths inside clusters', () => {
  it('are those of least squares with a level for each cluster', () => {
    const { cluster, x, m, y } = drawn(5, 6, 8);
    const slopes = recursivePaths(pooledProducts(clusterProducts(cluster, [x, m, y])), 3)!;
    const names = cluster.map((g) => `c${g}`);
    const fitted = fitModel(
      {
        outcome: 'y',
        fixed: [
          'intercept',
          { column: 'c', levels: ['c0', 'c1', 'c2', 'c3', 'c4', 'c5'] },
          { column: 'x' },
          { column: 'm' },
        ],
      },
      { y, x, m, c: names },
    );
    if (!fitted.ok) throw new Error('not fitted');
    const term = (name: string) => fitted.fit.result.fixed.find((one) => one.term === name)!.estimate;
    expect(slopes[6]).toBeCloseTo(term('x'), 9);
    expect(slopes[7]).toBeCloseTo(term('m'), 9);
  });

  it('add up: the total is the direct path and the one by way of the middle', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 10_000 }), (seed) => {
        const { cluster, x, m, y } = drawn(seed, 4, 6);
        const three = recursivePaths(pooledProducts(clusterProducts(cluster, [x, m, y])), 3)!;
        const two = recursivePaths(pooledProducts(clusterProducts(cluster, [x, y])), 2)!;
        const sum = alongRoute(three, 3, [0, 1, 2]) + alongRoute(three, 3, [0, 2]);
        expect(totalAlong(three, 3, 0, 2)).toBeCloseTo(sum, 10);
        expect(sum).toBeCloseTo(two[2]!, 8);
      }),
      { numRuns: 50 },
    );
  });

  it('do not see what is the same in a cluster', () => {
    const { cluster, x, m, y } = drawn(9, 5, 7);
    const moved = (values: number[]) => values.map((value, i) => value + 1000 * cluster[i]!);
    const one = recursivePaths(pooledProducts(clusterProducts(cluster, [x, m, y])), 3)!;
    const other = recursivePaths(
      pooledProducts(clusterProducts(cluster, [moved(x), moved(m), moved(y)])),
      3,
    )!;
    for (const [at, slope] of one.entries()) expect(other[at]).toBeCloseTo(slope, 8);
  });

  it('lose the attenuation when the error variance is taken off', () => {
    const stream = createStream(2);
    const rows = 40_000;
    const cluster = Array.from({ length: rows }, (_, i) => i % 400);
    const truth = cluster.map(() => stream.normal());
    const x = truth.map((value) => value + stream.normal());
    const y = truth.map((value) => 2 * value + 0.1 * stream.normal());
    const products = clusterProducts(cluster, [x, y], [x.map(() => 1), null]);
    expect(recursivePaths(pooledProducts(products), 2)![2]).toBeCloseTo(1, 1);
    expect(recursivePaths(pooledProducts(products, null, true), 2)![2]).toBeCloseTo(2, 1);
  });

  it('are null where a variable does not vary, two say the same, or error exceeds spread', () => {
    expect(recursivePaths([0, 0, 0, 4], 2)).toBeNull();
    expect(recursivePaths([1, 2, 1, 2, 4, 2, 1, 2, 9], 3)).toBeNull();
    expect(recursivePaths([-0.5, 1, 1, 4], 2)).toBeNull();
  });

  it('take the covariance of slopes that vary together', () => {
    // Planted: slopes of m on x and of y on m have SD 0.5 and correlation 0.6, covariance 0.15.
    const stream = createStream(31);
    const [cluster, x, m, y]: number[][] = [[], [], [], []];
    for (let g = 0; g < 3000; g++) {
      const z = stream.normal();
      const a = 1 + 0.5 * z;
      const b = 2 + 0.5 * (0.6 * z + 0.8 * stream.normal());
      for (let k = 0; k < 20; k++) {
        const one = stream.normal();
        const two = a * one + stream.normal();
        cluster!.push(g);
        x!.push(one);
        m!.push(two);
        y!.push(b * two + stream.normal());
      }
    }
    const own = ownSlopes(clusterProducts(cluster!, [x!, m!, y!]));
    expect(slopeCovariance(own, 3, 7)).toBeCloseTo(0.15, 1);
    expect(slopeCovariance(own.slice(0, 4), 3, 7)).toBeNull();
  });

  it('turn where slope and square say, and nowhere that can be told when the square is lost in noise', () => {
    const sure = turningPoint({
      slope: 4,
      square: -0.2,
      slopeVariance: 1e-9,
      squareVariance: 1e-9,
      covariance: 0,
      quantile: 1.96,
    });
    expect(sure.at).toBeCloseTo(10, 9);
    expect(sure.kind).toBe('highest');
    expect(sure.interval![0]).toBeLessThan(10);
    const lost = turningPoint({
      slope: 4,
      square: -0.2,
      slopeVariance: 1,
      squareVariance: 1,
      covariance: 0,
      quantile: 1.96,
    });
    expect(lost.interval).toBeNull();
  });
});
