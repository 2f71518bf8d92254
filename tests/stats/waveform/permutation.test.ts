import { describe, expect, it } from 'vitest';
import { createStream } from '../../../src/numerics/index.ts';
import {
  type CurveQuestion,
  curveScores,
  curvesFrom,
  maximumCritical,
  maximumDistribution,
  maximumP,
  pairedDifferences,
  possibleArrangements,
  tField,
} from '../../../src/stats/index.ts';

/** The same statistic written out from the textbook, sharing nothing with what is tested. */
function textbookT(rows: readonly (readonly number[])[], question: CurveQuestion): number[] {
  const nodes = rows[0]!.length;
  return Array.from({ length: nodes }, (_, q) => {
    const y = rows.map((row) => row[q]!);
    const mean = (v: readonly number[]) => v.reduce((a, b) => a + b, 0) / v.length;
    const ss = (v: readonly number[]) => v.reduce((a, b) => a + (b - mean(v)) ** 2, 0);
    if (question.kind === 'one-sample') return mean(y) / Math.sqrt(ss(y) / (y.length - 1) / y.length);
    if (question.kind === 'two-sample') {
      const a = y.filter((_, j) => !question.second[j]);
      const b = y.filter((_, j) => question.second[j]);
      const pooled = (ss(a) + ss(b)) / (y.length - 2);
      return (mean(b) - mean(a)) / Math.sqrt(pooled * (1 / a.length + 1 / b.length));
    }
    const x = question.predictor;
    const slope = x.reduce((sum, v, j) => sum + (v - mean(x)) * (y[j]! - mean(y)), 0) / ss(x);
    const left = y.reduce((sum, v, j) => sum + (v - mean(y) - slope * (x[j]! - mean(x))) ** 2, 0);
    return slope / Math.sqrt(left / (y.length - 2) / ss(x));
  });
}

const largest = (t: readonly number[]) => Math.max(...t.map(Math.abs));

/** Every arrangement by brute force, duplicates and all: each subset of signs, each order of the rows. */
function bruteForceP(rows: readonly (readonly number[])[], question: CurveQuestion): number {
  const observed = largest(textbookT(rows, question)) * (1 - 1e-9);
  let reach = 0;
  let all = 0;
  const count = (t: readonly number[]) => {
    all += 1;
    if (largest(t) >= observed) reach += 1;
  };
  if (question.kind === 'one-sample')
    for (let s = 0; s < 2 ** rows.length; s++)
      count(
        textbookT(
          rows.map((row, j) => row.map((v) => (s & (1 << j) ? -v : v))),
          question,
        ),
      );
  else
    for (const order of orders(rows.map((_, j) => j)))
      count(
        textbookT(
          order.map((j) => rows[j]!),
          question,
        ),
      );
  return reach / all;
}

function* orders(items: readonly number[]): Generator<number[]> {
  if (items.length < 2) yield [...items];
  else
    for (const [k, item] of items.entries())
      for (const rest of orders(items.filter((_, i) => i !== k))) yield [item, ...rest];
}

function drawn(rows: number, nodes: number, seed: number): number[][] {
  const stream = createStream(seed, 'permutation test');
  return Array.from({ length: rows }, () => {
    let level = stream.normal();
    return Array.from({ length: nodes }, () => {
      level = 0.8 * level + 0.6 * stream.normal();
      return level + 0.5;
    });
  });
}

const QUESTIONS: readonly { name: string; rows: number; question: CurveQuestion }[] = [
  { name: 'one sample of 7', rows: 7, question: { kind: 'one-sample' } },
  {
    name: 'groups of 3 and 4',
    rows: 7,
    question: { kind: 'two-sample', second: [true, false, true, false, false, true, false] },
  },
  {
    name: 'groups of 3 and 3',
    rows: 6,
    question: { kind: 'two-sample', second: [true, true, true, false, false, false] },
  },
  { name: 'a slope', rows: 6, question: { kind: 'regression', predictor: [3, 1, 4, 1.5, 9, 2.6] } },
  { name: 'a slope with ties', rows: 6, question: { kind: 'regression', predictor: [1, 1, 2, 2, 2, 7] } },
];

describe('permutation of the largest |t|', () => {
  it.each(QUESTIONS)('is exact against brute force: $name', ({ rows, question }) => {
    for (const seed of [1, 2, 3, 4]) {
      const data = drawn(rows, 9, seed);
      const scores = curveScores(curvesFrom(data), question);
      const { t } = tField(scores);
      for (const [q, value] of textbookT(data, question).entries()) expect(t[q]).toBeCloseTo(value, 10);
      const distribution = maximumDistribution(scores);
      expect(distribution.exact).toBe(true);
      expect(maximumP(distribution, largest([...t])).value).toBeCloseTo(bruteForceP(data, question), 12);
    }
  });

  it('gives the p values of the classical examples of randomisation', () => {
    // Fisher (1935), The Design of Experiments, section 21: Darwin's 15 pairs of maize, differences in eighths of an inch.
    // Of 2^15 = 32768 patterns of signs 1726 have a sum at least as far from none as the 314 observed: p = 0.0527.
    const darwin = [49, -67, 8, 16, 6, 23, 28, 41, 14, 29, 56, 24, 75, 60, -48];
    expect(darwin.reduce((sum, value) => sum + value, 0)).toBe(314);
    const scores = curveScores(curvesFrom(darwin.map((value) => [value])), { kind: 'one-sample' });
    const distribution = maximumDistribution(scores, { most: 2 ** 14 });
    expect(distribution.exact).toBe(true);
    expect(maximumP(distribution, tField(scores).t[0]!).value).toBeCloseTo(1726 / 32768, 12);
  });

  it('can be counted by hand: three rows against three that lie wholly above', () => {
    const scores = curveScores(curvesFrom([[1], [2], [3], [4], [5], [6]]), {
      kind: 'two-sample',
      second: [false, false, false, true, true, true],
    });
    const distribution = maximumDistribution(scores);
    // 6! / (3! 3!) = 20 ways, of which this one and its mirror image are the most extreme.
    expect(distribution.count).toBe(20);
    expect(maximumP(distribution, tField(scores).t[0]!).value).toBe(0.1);
    expect(distribution.smallestP).toBe(0.1);
    expect(maximumCritical(distribution, 0.95)).toBeNull();
    expect(maximumCritical(distribution, 0.89)).not.toBeNull();
  });

  it('counts arrangements', () => {
    const of = (question: CurveQuestion, rows: number) =>
      possibleArrangements(curveScores(curvesFrom(drawn(rows, 2, 1)), question));
    expect(of({ kind: 'one-sample' }, 10)).toBe(512);
    expect(of({ kind: 'two-sample', second: Array.from({ length: 12 }, (_, j) => j < 5) }, 12)).toBe(792);
    expect(of({ kind: 'regression', predictor: [1, 2, 3, 4, 5, 6] }, 6)).toBe(720);
    expect(of({ kind: 'regression', predictor: [1, 1, 2, 2, 2, 7] }, 6)).toBe(60);
  });

  it('agrees by drawing with what enumeration gives, within its Monte Carlo error', () => {
    const scores = curveScores(curvesFrom(drawn(12, 5, 7)), { kind: 'one-sample' });
    const exact = maximumDistribution(scores);
    const sampled = maximumDistribution(scores, { most: 1000, stream: createStream(1) });
    expect([exact.exact, sampled.exact]).toEqual([true, false]);
    const t = tField(scores).t.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
    for (const at of [t, 0.8 * t, 2]) {
      const { value, monteCarloError } = maximumP(sampled, at);
      expect(Math.abs(value - maximumP(exact, at).value)).toBeLessThan(4 * monteCarloError + 0.002);
    }
    expect(maximumP(sampled, 1e9).value).toBe(1 / 1000);
    expect(() => maximumDistribution(scores, { most: 1000 })).toThrow(/stream/);
  });

  it('rejects just where the p value is at most 5 %', () => {
    const scores = curveScores(curvesFrom(drawn(9, 20, 3)), { kind: 'one-sample' });
    const distribution = maximumDistribution(scores);
    const critical = maximumCritical(distribution, 0.95)!;
    expect(maximumP(distribution, critical * 1.0001).value).toBeLessThanOrEqual(0.05);
    expect(maximumP(distribution, critical).value).toBeGreaterThan(0.05);
  });

  it('takes a paired question as one sample of differences, and names what does not fit', () => {
    const before = curvesFrom([
      [1, 2],
      [3, 4],
    ]);
    const after = curvesFrom([
      [2, 2],
      [5, 3],
    ]);
    expect([...pairedDifferences(before, after).values]).toEqual([1, 0, 2, -1]);
    expect(() => pairedDifferences(before, curvesFrom([[1, 2]]))).toThrow(/same rows/);
    expect(() => curvesFrom([])).toThrow(/at least one/);
    expect(() => curvesFrom([[1, 2], [1]])).toThrow(/resample/);
    expect(() => curvesFrom([[1, Number.NaN]])).toThrow(/node 1/);
    expect(() => curveScores(before, { kind: 'two-sample', second: [true, true] })).toThrow(/two groups/);
    expect(() => curveScores(before, { kind: 'regression', predictor: [1, 1] })).toThrow(/does not vary/);
    expect(() => curveScores(before, { kind: 'regression', predictor: [1, 2, 3] })).toThrow(/one for each/);
    expect(() => curveScores(before, { kind: 'regression', predictor: [1, 2] })).toThrow(
      /degrees of freedom/,
    );
  });
});
