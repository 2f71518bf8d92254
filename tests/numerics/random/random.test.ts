import { describe, expect, it } from 'vitest';
import {
  chiSquaredUpper,
  createStream,
  multivariateNormal,
  normalLower,
  normalUpper,
} from '../../../src/numerics/index.ts';

/** Kolmogorov's asymptotic p-value of the largest distance between sample and distribution function. */
function kolmogorovSmirnov(sample: readonly number[], lower: (x: number) => number): number {
  const sorted = [...sample].sort((a, b) => a - b);
  const n = sorted.length;
  let distance = 0;
  sorted.forEach((x, i) => {
    const f = lower(x);
    distance = Math.max(distance, Math.abs(f - i / n), Math.abs((i + 1) / n - f));
  });
  const scaled = (Math.sqrt(n) + 0.12 + 0.11 / Math.sqrt(n)) * distance;
  let p = 0;
  for (let k = 1; k <= 100; k++) p += 2 * (k % 2 === 1 ? 1 : -1) * Math.exp(-2 * k * k * scaled * scaled);
  return p;
}

function chiSquaredP(counts: readonly number[]): number {
  const expected = counts.reduce((a, b) => a + b, 0) / counts.length;
  const statistic = counts.reduce((sum, count) => sum + (count - expected) ** 2 / expected, 0);
  return chiSquaredUpper(statistic, counts.length - 1);
}

function correlation(a: readonly number[], b: readonly number[]): number {
  const mean = (values: readonly number[]) => values.reduce((x, y) => x + y, 0) / values.length;
  const [ma, mb] = [mean(a), mean(b)];
  let [ab, aa, bb] = [0, 0, 0];
  a.forEach((value, i) => {
    ab += (value - ma) * (b[i]! - mb);
    aa += (value - ma) ** 2;
    bb += (b[i]! - mb) ** 2;
  });
  return ab / Math.sqrt(aa * bb);
}

const draws = <T>(n: number, draw: () => T) => Array.from({ length: n }, draw);

describe('shapes', () => {
  it('the test of fit refuses a wrong distribution', () => {
    const stream = createStream(1, 'wrong');
    expect(
      kolmogorovSmirnov(
        draws(20_000, () => stream.normal(0.05)),
        normalLower,
      ),
    ).toBeLessThan(1e-6);
  });

  it('uniform', () => {
    const stream = createStream(11, 'uniform');
    const sample = draws(50_000, () => stream.uniform());
    expect(kolmogorovSmirnov(sample, (x) => x)).toBeGreaterThan(0.001);
    expect(Math.min(...sample.slice(0, 1000))).toBeGreaterThanOrEqual(0);
    expect(Math.abs(correlation(sample.slice(0, -1), sample.slice(1)))).toBeLessThan(4 / Math.sqrt(50_000));
  });

  it('normal: fit, moments and tails', () => {
    const stream = createStream(12, 'normal');
    const sample = draws(200_000, () => stream.normal());
    const n = sample.length;
    expect(kolmogorovSmirnov(sample, normalLower)).toBeGreaterThan(0.001);
    const moment = (k: number) => sample.reduce((sum, x) => sum + x ** k, 0) / n;
    // Standard errors of raw moments of the standard normal: sqrt(1/n), sqrt(2/n), sqrt(15/n), sqrt(96/n).
    expect(Math.abs(moment(1))).toBeLessThan(4 * Math.sqrt(1 / n));
    expect(Math.abs(moment(2) - 1)).toBeLessThan(4 * Math.sqrt(2 / n));
    expect(Math.abs(moment(3))).toBeLessThan(4 * Math.sqrt(15 / n));
    expect(Math.abs(moment(4) - 3)).toBeLessThan(4 * Math.sqrt(96 / n));
    const beyond = sample.filter((x) => x > 3).length;
    const expected = n * normalUpper(3);
    expect(Math.abs(beyond - expected)).toBeLessThan(4 * Math.sqrt(expected));
  });

  it('normal takes a mean and an SD', () => {
    const [a, b] = [createStream(5), createStream(5)];
    expect(a.normal(10, 2)).toBeCloseTo(10 + 2 * b.normal(), 12);
  });

  it('bernoulli, integer, choice', () => {
    const stream = createStream(13);
    const hits = draws(40_000, () => stream.bernoulli(0.15)).filter(Boolean).length;
    expect(Math.abs(hits - 6000)).toBeLessThan(4 * Math.sqrt(40_000 * 0.15 * 0.85));
    const counts = [0, 0, 0, 0, 0, 0, 0];
    for (let i = 0; i < 35_000; i++) counts[stream.integer(-3, 3) + 3]!++;
    expect(chiSquaredP(counts)).toBeGreaterThan(0.001);
    const letters = { a: 0, b: 0, c: 0 };
    for (let i = 0; i < 30_000; i++) letters[stream.choice(['a', 'b', 'c'] as const)]++;
    expect(chiSquaredP(Object.values(letters))).toBeGreaterThan(0.001);
  });

  it('shuffle: every order equally likely, nothing lost, the list untouched', () => {
    const stream = createStream(14);
    const counts = new Map<string, number>();
    const items = ['a', 'b', 'c', 'd'];
    for (let i = 0; i < 24_000; i++) {
      const order = stream.shuffle(items).join('');
      counts.set(order, (counts.get(order) ?? 0) + 1);
    }
    expect(counts.size).toBe(24);
    expect(chiSquaredP([...counts.values()])).toBeGreaterThan(0.001);
    expect(items).toEqual(['a', 'b', 'c', 'd']);
  });

  it('multivariate normal: the covariance of the factor', () => {
    const stream = createStream(15);
    // L L' = [[4, 1.2], [1.2, 1]]: SDs 2 and 1, correlation 0.6.
    const pairs = draws(60_000, () => multivariateNormal(stream, [5, -1], [2, 99, 0.6, 0.8]));
    const [x, y] = [pairs.map((pair) => pair[0]!), pairs.map((pair) => pair[1]!)];
    expect(kolmogorovSmirnov(x, (v) => normalLower((v - 5) / 2))).toBeGreaterThan(0.001);
    expect(kolmogorovSmirnov(y, (v) => normalLower(v + 1))).toBeGreaterThan(0.001);
    expect(Math.abs(correlation(x, y) - 0.6)).toBeLessThan((4 * (1 - 0.36)) / Math.sqrt(60_000));
  });
});

describe('streams', () => {
  it('the same seed and path give the same numbers; another seed or path gives others', () => {
    const first = (...path: [number, ...(string | number)[]]) => createStream(...path).uniform();
    expect(first(7, 'golfer', 3)).toBe(first(7, 'golfer', 3));
    const others = [
      first(7),
      first(8),
      first(7, 'golfer'),
      first(7, 'golfer', 3),
      first(7, 3, 'golfer'),
      first(7, 'golfer3'),
      first(7, 'golfer', '3'),
      first(-7),
    ];
    expect(new Set(others).size).toBe(others.length);
  });

  it('a sub-stream does not depend on what its parent has drawn', () => {
    const [fresh, used] = [createStream(9), createStream(9)];
    for (let i = 0; i < 100; i++) used.uniform();
    expect(used.sub('a', 1).uniform()).toBe(fresh.sub('a').sub(1).uniform());
  });

  it('neighbouring sub-streams are independent', () => {
    const streams = draws(400, () => 0).map((_, i) => createStream(3, 'worker', i));
    const firsts = streams.map((stream) => stream.uniform());
    expect(kolmogorovSmirnov(firsts, (x) => x)).toBeGreaterThan(0.001);
    const n = 5000;
    const series = streams.slice(0, 12).map((stream) => draws(n, () => stream.normal()));
    for (let i = 0; i < series.length; i++)
      for (let j = 0; j < i; j++)
        expect(Math.abs(correlation(series[i]!, series[j]!))).toBeLessThan(5 / Math.sqrt(n));
  });

  it('misuse is named', () => {
    expect(() => createStream(1.5)).toThrow('createStream: the seed must be a whole number');
    expect(() => createStream(1).choice([])).toThrow('Stream.choice');
    expect(() => createStream(1).integer(3, 2)).toThrow('Stream.integer');
    expect(() => multivariateNormal(createStream(1), [0, 0], [1])).toThrow('multivariateNormal');
  });
});
