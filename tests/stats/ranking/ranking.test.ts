import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { chiSquaredDraw, createStream, quantileOfSorted } from '../../../src/numerics/index.ts';
import {
  chanceAhead,
  type GroupSums,
  groupPosterior,
  groupRanks,
  groupSums,
  OVERLAP_FACTOR,
  separableShare,
  shrunkenEffects,
} from '../../../src/stats/index.ts';

const folder = new URL('../../reference/instructors/', import.meta.url);
const read = (name: string) => JSON.parse(readFileSync(new URL(name, folder), 'utf8'));
type Row = [string | number, number, number, number, number, number, number];
const sumsOf = (rows: readonly Row[], withIntake = true): GroupSums[] =>
  rows.map(([name, n, x, xx, y, xy, yy]) => ({
    name: String(name),
    size: n,
    xx: withIntake ? Float64Array.of(n, x, x, xx) : Float64Array.of(n),
    xy: withIntake ? Float64Array.of(y, xy) : Float64Array.of(y),
    yy,
  }));

// Goldstein, Rasbash, Yang et al. 1993 (65 schools, 4,059 pupils); fits by lme4, see tests/reference/instructors/exam.R.
describe('the published school effects', () => {
  const exam = read('exam.json');
  const { between, within } = exam.withIntake;
  const effects = shrunkenEffects(sumsOf(exam.schools), { between, within });

  it('are those of the reference software, with their SDs', () => {
    effects.forEach(({ effect, sd }, i) => {
      expect(effect).toBeCloseTo(exam.effects[i], 8);
      expect(sd).toBeCloseTo(exam.effectSds[i], 8);
    });
  });

  // Check values of the shared reference on school effects: variances, share of pairs apart, share of schools whose interval
  // leaves out 0, mean width of the 95% rank interval (Monte Carlo, so to its own error).
  it('have the published variances, separable pairs and intervals', () => {
    expect(exam.nullModel.between ** 2).toBeCloseTo(0.16864, 5);
    expect(exam.nullModel.within ** 2).toBeCloseTo(0.84776, 5);
    expect(between ** 2).toBeCloseTo(0.09213, 5);
    expect(within ** 2).toBeCloseTo(0.56573, 5);
    expect(OVERLAP_FACTOR).toBeCloseTo(1.3859, 4);
    expect(separableShare(effects)).toBeCloseTo(0.4995, 3);
    const apart = effects.filter(({ effect, sd }) => Math.abs(effect) > 1.959964 * sd).length;
    expect(apart / effects.length).toBeCloseTo(0.4769, 4);
  });

  it('have rank intervals of the published mean width', () => {
    const stream = createStream(11);
    const draws = Array.from({ length: 4000 }, () =>
      Float64Array.from(effects, ({ effect, sd }) => stream.normal(effect, sd)),
    );
    const ranks = groupRanks(
      effects.map(({ group }) => group),
      draws,
      0.95,
    );
    const width = ranks.reduce((sum, { rankInterval: [low, high] }) => sum + high - low, 0) / ranks.length;
    expect(Math.abs(width - 23.7)).toBeLessThan(0.5);
  });
});

describe('the joint distribution of group effects', () => {
  // Brute force over both SDs with whole variance matrices: tests/reference/instructors/posterior.py.
  it('is that of a brute-force integration, to its Monte Carlo error', () => {
    const known = read('posterior.json');
    const count = 40_000;
    const drawn = groupPosterior(sumsOf(known.schools), createStream(5), count)!;
    const between = drawn.between.toSorted();
    for (const [share, value] of Object.entries(known.betweenQuantiles) as [string, number][]) {
      const position = between.filter((draw) => draw <= value).length / count;
      expect(Math.abs(position - Number(share))).toBeLessThan(
        0.002 + 4 * Math.sqrt((Number(share) * (1 - Number(share))) / count),
      );
    }
    known.effects.forEach((mean: number, j: number) => {
      const sd = known.effectSds[j];
      const values = drawn.effects.map((draw) => draw[j]!);
      const own = values.reduce((a, b) => a + b, 0) / count;
      const spread = Math.sqrt(values.reduce((a, b) => a + (b - own) ** 2, 0) / (count - 1));
      expect(Math.abs(own - mean)).toBeLessThan((4 * sd) / Math.sqrt(count) + 0.001);
      expect(Math.abs(spread / sd - 1)).toBeLessThan(0.02);
    });
    for (const [a, b, chance] of known.chanceAhead)
      expect(Math.abs(chanceAhead(drawn.effects, a, b) - chance)).toBeLessThan(0.012);
  });

  it('does not depend on the order of groups, on an offset or on a scale', () => {
    const stream = createStream(3);
    const rows = Array.from({ length: 60 }, (_, i) => ({
      group: `I${i % 6}`,
      value: stream.normal((i % 6) * 0.4, 1),
      predictors: [stream.normal()],
    }));
    const drawn = (scale: number, offset: number) =>
      groupPosterior(
        groupSums(rows.map((row) => ({ ...row, value: offset + scale * row.value }))),
        createStream(9),
        200,
      )!;
    const one = drawn(1, 0);
    const other = drawn(10, 500);
    one.between.forEach((value, k) => {
      expect(other.between[k]! / 10).toBeCloseTo(value, 6);
    });
    one.effects.forEach((draw, k) => {
      draw.forEach((value, j) => {
        expect(other.effects[k]![j]! / 10).toBeCloseTo(value, 6);
      });
    });
  });

  it('is not there where two groups, too few rows or no variation leave nothing to tell', () => {
    const row = (group: string, value: number) => ({ group, value, predictors: [] });
    expect(
      groupPosterior(groupSums([row('a', 1), row('b', 2), row('b', 3)]), createStream(1), 10),
    ).toBeNull();
    expect(
      groupPosterior(groupSums([row('a', 1), row('b', 2), row('c', 3)]), createStream(1), 10),
    ).toBeNull();
    const same = ['a', 'a', 'b', 'b', 'c', 'c'].map((group) => row(group, 4));
    expect(groupPosterior(groupSums(same), createStream(1), 10)).toBeNull();
  });
});

describe('ranks', () => {
  it('are counted within each draw; less is better when it is said so', () => {
    const draws = [Float64Array.of(3, 2, 1), Float64Array.of(3, 1, 2), Float64Array.of(2, 3, 1)];
    const ranks = groupRanks(['a', 'b', 'c'], draws, 0.9);
    expect(ranks.map(({ topThird }) => topThird)).toEqual([2 / 3, 1 / 3, 0]);
    expect(ranks.map(({ rank }) => rank)).toEqual([1, 2, 3]);
    expect(groupRanks(['a', 'b', 'c'], draws, 0.9, -1).map(({ rank }) => rank)).toEqual([3, 2, 1]);
    expect(chanceAhead(draws, 0, 1)).toBeCloseTo(2 / 3);
    expect(() => groupRanks(['a'], [], 0.9)).toThrow('at least one draw');
  });

  it('cover the true rank of drawn worlds as often as promised', () => {
    const worlds = 300;
    let covered = 0;
    let ranked = 0;
    for (let world = 0; world < worlds; world++) {
      const stream = createStream(100 + world);
      const sizes = [6, 7, 8, 10, 12, 15, 9, 5];
      const truth = sizes.map(() => stream.normal(0, 0.6));
      const rows = sizes.flatMap((size, j) =>
        Array.from({ length: size }, () => {
          const x = stream.normal();
          return { group: `I${j}`, value: 2 + 0.5 * x + truth[j]! + stream.normal(), predictors: [x] };
        }),
      );
      const drawn = groupPosterior(groupSums(rows), stream.sub('draws'), 500)!;
      const ranks = groupRanks(drawn.groups, drawn.effects, 0.95);
      ranks.forEach(({ rankInterval: [low, high] }, j) => {
        const rank = 1 + truth.filter((value) => value > truth[j]!).length;
        ranked += 1;
        if (rank >= low && rank <= high) covered += 1;
      });
    }
    // Whole ranks cover at least as often as promised; ranks of one world are not independent, so the bound is wide.
    expect(covered / ranked).toBeGreaterThan(0.94);
    expect(covered / ranked).toBeLessThan(0.995);
  });
});

describe('a chi-squared draw', () => {
  it('has the mean and variance of its distribution, below and above two degrees of freedom', () => {
    for (const df of [0.7, 1, 3, 40]) {
      const stream = createStream(21);
      const values = Array.from({ length: 20_000 }, () => chiSquaredDraw(stream, df));
      const mean = values.reduce((a, b) => a + b, 0) / values.length;
      const variance = values.reduce((a, b) => a + (b - mean) ** 2, 0) / values.length;
      expect(Math.abs(mean - df)).toBeLessThan(5 * Math.sqrt((2 * df) / values.length));
      expect(Math.abs(variance / (2 * df) - 1)).toBeLessThan(0.12);
    }
    expect(() => chiSquaredDraw(createStream(1), 0)).toThrow(RangeError);
  });
});

describe('a quantile of sorted values', () => {
  // Definition 7 of Hyndman and Fan 1996: the share q lies at 1 + (n - 1) q, counted from 1.
  it('interpolates between order statistics', () => {
    expect(quantileOfSorted([1, 2, 4], 0.75)).toBe(3);
    expect(quantileOfSorted([7], 0.3)).toBe(7);
    expect(quantileOfSorted([0, 10], 1)).toBe(10);
    expect(() => quantileOfSorted([], 0.5)).toThrow(RangeError);
  });
});
