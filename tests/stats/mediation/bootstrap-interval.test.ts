import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { createStream } from '../../../src/numerics/index.ts';
import { bootstrapClusters, bootstrapInterval, drawsOf, jackknifeOf } from '../../../src/stats/index.ts';

// Made by tests/reference/mediation/bootstrap.R (package boot; version in the file): the draws, and what boot.ci makes of them.
const reference = JSON.parse(
  readFileSync(new URL('../../reference/mediation/bootstrap.json', import.meta.url), 'utf8'),
) as { estimate: number; draws: number[]; jackknife: number[]; percentile: number[]; bca: number[] };

describe('intervals of bootstrap draws', () => {
  it('are those of the package boot for the same draws', () => {
    const { draws, estimate, jackknife } = reference;
    const percentile = bootstrapInterval({ draws, estimate }).interval;
    const bca = bootstrapInterval({ draws, estimate, jackknife }).interval;
    for (const end of [0, 1]) {
      expect(percentile[end]).toBeCloseTo(reference.percentile[end]!, 9);
      expect(bca[end]).toBeCloseTo(reference.bca[end]!, 9);
    }
  });

  it('are wider with few clusters by the factor of Hesterberg', () => {
    const stream = createStream(3);
    const draws = Float64Array.from({ length: 4000 }, () => stream.normal());
    const plain = bootstrapInterval({ draws, estimate: 0 }).interval;
    const few = bootstrapInterval({ draws, estimate: 0, clusters: 10 }).interval;
    // sqrt(10 / 9) t(0.975, 9) = 2.385 against 1.960 for a normal.
    expect((few[1] - few[0]) / (plain[1] - plain[0])).toBeCloseTo(2.385 / 1.96, 1);
  });

  it('say how much the number of draws leaves open', () => {
    // The standard error of a 2.5% quantile of n normal draws is sqrt(p (1 - p) / n) / density (0.0422 for 4,000).
    const stream = createStream(8);
    const draws = Float64Array.from({ length: 4000 }, () => stream.normal());
    const { monteCarloError, failed } = bootstrapInterval({ draws, estimate: 0 });
    expect(failed).toBe(0);
    for (const error of monteCarloError) expect(Math.abs(error - 0.0422)).toBeLessThan(0.02);
  });

  it('count draws that failed, and refuse too few', () => {
    const draws = [...Array.from({ length: 60 }, (_, k) => k), Number.NaN, Number.NaN];
    expect(bootstrapInterval({ draws, estimate: 30 })).toMatchObject({ draws: 60, failed: 2 });
    expect(() => bootstrapInterval({ draws: draws.slice(30), estimate: 30 })).toThrow(/only 30/);
    expect(() => bootstrapInterval({ draws, estimate: 30, level: 1 })).toThrow(/level/);
  });

  it('draw whole clusters, as many as there are, the same for the same seed', () => {
    const seen: number[] = [];
    const statistic = (counts: Float64Array) => {
      seen.push(counts.reduce((sum, count) => sum + count, 0));
      return [counts[0]!, 1];
    };
    const one = bootstrapClusters(7, 2, statistic, 50, createStream(1, 'x'));
    expect(seen.slice(0, 50).every((total) => total === 7)).toBe(true);
    expect([...jackknifeOf(one, 0)]).toEqual([0, 1, 1, 1, 1, 1, 1]);
    expect(drawsOf(one, 0)).toEqual(drawsOf(bootstrapClusters(7, 2, statistic, 50, createStream(1, 'x')), 0));
    expect(one.estimate).toEqual([1, 1]);
  });
});
