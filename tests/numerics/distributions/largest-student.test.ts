/**
 * Studentized range and the largest of several Student variables: published tables, panels of Gauss and
 * Legendre (studentized-range.py), and one method against another.
 */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import {
  createStream,
  largestStudent,
  normalUpper,
  studentizedRangeUpper,
  studentizedRangeUpperQuantile,
  studentTwoSided,
} from '../../../src/numerics/index.ts';

const reference = JSON.parse(
  readFileSync(new URL('../../reference/distributions/studentized-range.json', import.meta.url), 'utf8'),
) as { upper: { q: number; groups: number; df: number | null; probability: number }[] };
const near = (found: number, expected: number) => Math.abs(found / expected - 1);
const equal = (k: number, r: number) => Array.from({ length: k * k }, (_, i) => (i % (k + 1) === 0 ? 1 : r));
/** Correlations of all pairwise differences of g equally well known means. */
function pairwise(g: number): { k: number; correlation: number[] } {
  const pairs: [number, number][] = [];
  for (let i = 0; i < g; i++) for (let j = 0; j < i; j++) pairs.push([i, j]);
  const sign = ([a, b]: [number, number], at: number) => (at === a ? 1 : at === b ? -1 : 0);
  const correlation = pairs.flatMap((p) =>
    pairs.map(
      (q) => Array.from({ length: g }, (_, at) => sign(p, at) * sign(q, at)).reduce((a, b) => a + b) / 2,
    ),
  );
  return { k: pairs.length, correlation };
}

describe('studentized range', () => {
  it.each(reference.upper)(
    'P(Q > $q), $groups groups, df $df, to 12 digits',
    ({ q, groups, df, probability }) => {
      expect(near(studentizedRangeUpper(q, groups, df ?? Infinity), probability)).toBeLessThan(2e-12);
    },
  );
  it("two groups are Student's t: q / sqrt 2, to 12 digits from 1 to 1e-15", () => {
    for (const [q, df] of [
      [0.01, 1],
      [3, 1],
      [1e4, 1],
      [10, 2.5],
      [30, 10],
      [12, 300],
    ] as const)
      expect(near(studentizedRangeUpper(q, 2, df), studentTwoSided(q / Math.SQRT2, df))).toBeLessThan(1e-12);
    expect(near(studentizedRangeUpper(14, 2, Infinity), 2 * normalUpper(14 / Math.SQRT2))).toBeLessThan(
      1e-12,
    );
  });
  // Percentage points as printed in Harter (1960), Annals of Mathematical Statistics 31, 1122-1147, and every
  // textbook.
  it.each([
    [0.05, 3, 10, 3.88],
    [0.05, 5, 10, 4.65],
    [0.05, 4, 20, 3.96],
    [0.05, 3, Infinity, 3.31],
    [0.05, 10, Infinity, 4.47],
    [0.01, 3, 10, 5.27],
    [0.01, 5, 10, 6.14],
  ])('table: upper %d, %d groups, df %d: %d', (p, groups, df, q) => {
    const found = studentizedRangeUpperQuantile(p, groups, df);
    expect(Math.abs(found - q)).toBeLessThanOrEqual(0.005001);
    expect(near(studentizedRangeUpper(found, groups, df), p)).toBeLessThan(1e-10);
  });
  it('ends and misuse', () => {
    expect(studentizedRangeUpper(0, 3, 5)).toBe(1);
    expect(studentizedRangeUpper(Infinity, 3, 5)).toBe(0);
    expect(studentizedRangeUpper(Number.NaN, 3, 5)).toBeNaN();
    expect(studentizedRangeUpperQuantile(0, 3, 5)).toBe(Infinity);
    expect(() => studentizedRangeUpper(3, 1, 5)).toThrow(
      /groups must be a whole number of at least 2; found 1/,
    );
    expect(() => studentizedRangeUpper(3, 3, 0)).toThrow(/df must be above zero/);
  });
});

describe('largest of several Student variables', () => {
  // Two-sided 5% points for comparing k treatments with a control, Dunnett (1964), Biometrics 20, 482-491.
  it.each([
    [2, 5, 3.03],
    [2, 20, 2.38],
    [3, 10, 2.76],
    [4, 20, 2.65],
    [4, Infinity, 2.44],
    [9, Infinity, 2.69],
  ])('Dunnett: %d treatments, df %d: %d', (k, df, point) => {
    const found = largestStudent(equal(k, 0.5), k, df);
    expect(['plane', 'shared control']).toContain(found.method);
    expect(Math.abs(found.upperQuantile(0.05) - point)).toBeLessThanOrEqual(0.005001);
  });
  it('an angle of directions and the studentized range agree on the pairs of three groups, far into the tail', () => {
    const { k, correlation } = pairwise(3);
    const found = largestStudent(correlation, k, 10);
    expect(found.method).toBe('plane');
    for (const c of [0.5, 3, 30])
      expect(near(found.upper(c), studentizedRangeUpper(c * Math.SQRT2, 3, 10))).toBeLessThan(1e-11);
  });
  it('a variable given twice adds nothing', () => {
    const twice = [1, -0.3, -0.3, -0.3, 1, 1, -0.3, 1, 1];
    const two = largestStudent([1, -0.3, -0.3, 1], 2, 7);
    for (const c of [1, 4])
      expect(near(largestStudent(twice, 3, 7).upper(c), two.upper(c))).toBeLessThan(1e-11);
  });
  it('independent variables with known SDs: 1 - (1 - p)^k; one variable: Student', () => {
    const four = largestStudent(equal(4, 0), 4, Infinity);
    const p = 2 * normalUpper(2.5);
    expect(near(four.upper(2.5), 1 - (1 - p) ** 4)).toBeLessThan(1e-11);
    expect(largestStudent([1], 1, 5).upper(2)).toBe(studentTwoSided(2, 5));
    expect(near(largestStudent([1], 1, Infinity).upper(2), 2 * normalUpper(2))).toBeLessThan(1e-14);
  });
  it('sampled directions: within four of their own standard errors of what is known otherwise, a part in a thousand even in the tail', () => {
    // A shade off the pairs of four groups, so that no shortcut applies.
    const { k, correlation } = pairwise(4);
    const off = correlation.map((r, i) => (i === 1 || i === k ? r * 0.999999 : r));
    const found = largestStudent(off, k, 10, createStream(5));
    expect(found.method).toBe('sampled directions');
    expect(largestStudent(correlation, k, 10).method).toBe('studentized range');
    for (const c of [1, 3, 8]) {
      const known = studentizedRangeUpper(c * Math.SQRT2, 4, 10);
      expect(found.relativeError(c)).toBeLessThan(1e-3);
      expect(near(found.upper(c), known)).toBeLessThan(4 * found.relativeError(c) + 2e-5);
    }
    expect(Math.abs(found.upperQuantile(0.05) - 4.327 / Math.SQRT2)).toBeLessThan(0.003);
  });
  it('grows with every further variable, and stays below the sum of single tails', () => {
    const single = studentTwoSided(2.2, 8);
    let last = single;
    for (const k of [2, 3, 4]) {
      const p = largestStudent(equal(k, 0.3), k, 8).upper(2.2);
      expect(p).toBeGreaterThan(last);
      expect(p).toBeLessThan(k * single);
      last = p;
    }
  });
  it('misuse', () => {
    expect(() => largestStudent([1, 2, 2, 1], 2, 5)).toThrow(
      /correlation matrix is needed; found 2 in row 1/,
    );
    expect(() => largestStudent([1, 0.1, 0.2, 1], 2, 5)).toThrow(/not symmetric/);
    expect(() => largestStudent([1, 0], 2, 5)).toThrow(/found 2 numbers/);
  });
});
