import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import jstat from 'jstat';
import { describe, expect, it } from 'vitest';
import * as numerics from '../../../src/numerics/index.ts';

const {
  chiSquaredLower,
  chiSquaredQuantile,
  chiSquaredUpper,
  chiSquaredUpperQuantile,
  fLower,
  fQuantile,
  fUpper,
  fUpperQuantile,
  normalDensity,
  normalLower,
  normalQuantile,
  normalUpper,
  normalUpperQuantile,
  studentLower,
  studentQuantile,
  studentTwoSided,
  studentUpper,
  studentUpperQuantile,
} = numerics;

type Numbers = (...args: number[]) => number;

function reference<T>(name: string): T {
  return JSON.parse(readFileSync(new URL(`../../reference/distributions/${name}`, import.meta.url), 'utf8'));
}

function relativeError(found: number, expected: number): number {
  if (found === expected) return 0;
  return Math.abs(found - expected) / Math.abs(expected);
}

// mpmath, see tests/reference/distributions/README.md
describe('tails and quantiles against mpmath', () => {
  const functions: Record<string, Record<string, Numbers>> = {
    normal: { cdf: normalLower, sf: normalUpper, q: normalQuantile },
    t: { cdf: studentLower, sf: studentUpper, q: studentQuantile },
    f: { cdf: fLower, sf: fUpper, q: fQuantile },
    chi2: { cdf: chiSquaredLower, sf: chiSquaredUpper, q: chiSquaredQuantile },
  };
  const entries = reference<[string, string, number[], number][]>('tails-and-quantiles.json');

  for (const [distribution, kinds] of Object.entries(functions))
    for (const [kind, compute] of Object.entries(kinds)) {
      const here = entries.filter(([d, k]) => d === distribution && k === kind);
      it(`${distribution} ${kind}: ${here.length} values to 1e-12`, () => {
        expect(here.length).toBeGreaterThan(8);
        for (const [, , args, expected] of here)
          expect(relativeError(compute(...args), expected), args.join(', ')).toBeLessThan(1e-12);
      });
    }
});

describe('degrees of freedom that are not whole', () => {
  const functions: Record<string, Record<string, Numbers>> = {
    student: { upper: studentUpper },
    f: { lower: fLower, upper: fUpper },
    'chi-squared': { lower: chiSquaredLower, upper: chiSquaredUpper },
  };
  it('agrees with mpmath to 1e-12', () => {
    const entries = reference<[string, 'lower' | 'upper', number[], number][]>('tails.json');
    expect(entries.length).toBeGreaterThan(100);
    for (const [distribution, tail, args, expected] of entries)
      expect(
        relativeError(functions[distribution]![tail]!(...args), expected),
        `${distribution} ${tail} ${args}`,
      ).toBeLessThan(1e-12);
  });
});

describe('independent cross-check in the middle of the range, where jstat is right', () => {
  it('agrees to 1e-7', () => {
    for (const t of [-2, -0.3, 0.4, 1.7])
      for (const df of [3, 8.5, 40])
        expect(relativeError(studentLower(t, df), jstat.studentt.cdf(t, df))).toBeLessThan(1e-7);
    for (const f of [0.4, 1, 2.5])
      expect(relativeError(fLower(f, 3, 17.5), jstat.centralF.cdf(f, 3, 17.5))).toBeLessThan(1e-7);
    for (const x of [0.7, 3, 9])
      expect(relativeError(chiSquaredLower(x, 4.5), jstat.chisquare.cdf(x, 4.5))).toBeLessThan(1e-7);
    for (const z of [-1.5, 0.2, 1.1])
      expect(relativeError(normalLower(z), jstat.normal.cdf(z, 0, 1))).toBeLessThan(1e-7);
  });
});

describe('identities', () => {
  const df = fc.double({ min: 0.5, max: 5000, noNaN: true });
  const share = fc.double({ min: -60, max: -0.001, noNaN: true }).map((power) => 10 ** power);

  it('upper tail of the upper quantile is the share asked for', () => {
    fc.assert(
      fc.property(df, df, share, (d1, d2, p) => {
        expect(relativeError(studentUpper(studentUpperQuantile(p, d1), d1), p)).toBeLessThan(1e-10);
        expect(relativeError(chiSquaredUpper(chiSquaredUpperQuantile(p, d1), d1), p)).toBeLessThan(1e-10);
        expect(relativeError(fUpper(fUpperQuantile(p, d1, d2 + 2), d1, d2 + 2), p)).toBeLessThan(1e-10);
        expect(relativeError(normalUpper(normalUpperQuantile(p)), p)).toBeLessThan(1e-12);
      }),
      { numRuns: 300, seed: 1 },
    );
  });

  it('lower tail of the lower quantile is the share asked for', () => {
    fc.assert(
      fc.property(df, df, share, (d1, d2, p) => {
        expect(relativeError(studentLower(studentQuantile(p, d1), d1), p)).toBeLessThan(1e-10);
        const [wide, other] = [d1 + 2, d2 + 2];
        expect(relativeError(chiSquaredLower(chiSquaredQuantile(p, wide), wide), p)).toBeLessThan(1e-10);
        expect(relativeError(fLower(fQuantile(p, wide, other), wide, other), p)).toBeLessThan(1e-10);
      }),
      { numRuns: 300, seed: 2 },
    );
  });

  it('F with one numerator degree of freedom is t squared; F is its own mirror', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.001, max: 50, noNaN: true }), df, df, (t, d1, d2) => {
        expect(relativeError(fUpper(t * t, 1, d1), studentTwoSided(t, d1))).toBeLessThan(1e-10);
        const [upper, lower] = [fUpper(t, d1, d2), fLower(1 / t, d2, d1)];
        if (upper > 1e-290) expect(relativeError(lower, upper)).toBeLessThan(1e-9);
      }),
      { numRuns: 300, seed: 3 },
    );
  });

  it('the two tails make one, and t is symmetric', () => {
    fc.assert(
      fc.property(fc.double({ min: -40, max: 40, noNaN: true }), df, (t, d) => {
        expect(studentLower(t, d) + studentUpper(t, d)).toBeCloseTo(1, 13);
        expect(studentLower(-t, d)).toBe(studentUpper(t, d));
        expect(normalLower(-t)).toBe(normalUpper(t));
      }),
      { numRuns: 200, seed: 4 },
    );
  });

  it('Cauchy near its centre keeps its digits: t with one degree of freedom is an arctangent', () => {
    for (const t of [1e-12, 3.14e-7, 0.02, 1, 80])
      expect(relativeError(studentUpper(t, 1), Math.atan2(1, t) / Math.PI)).toBeLessThan(1e-15);
  });

  it('the density is the slope of the lower tail', () => {
    for (const z of [-3, -0.5, 0, 1.2]) {
      const slope = (normalLower(z + 1e-5) - normalLower(z - 1e-5)) / 2e-5;
      expect(normalDensity(z)).toBeCloseTo(slope, 9);
    }
  });
});

describe('limits', () => {
  it('infinite degrees of freedom give the normal and the scaled chi-squared', () => {
    expect(studentUpper(1.959963984540054, Infinity)).toBeCloseTo(0.025, 15);
    expect(studentQuantile(0.975, Infinity)).toBeCloseTo(1.959963984540054, 14);
    // chi-squared 0.95 quantile at 3 df: 7.814727903251179 (mpmath).
    expect(fQuantile(0.95, 3, Infinity)).toBeCloseTo(7.814727903251179 / 3, 13);
    expect(fUpper(7.814727903251179 / 3, 3, Infinity)).toBeCloseTo(0.05, 13);
    expect(fUpper(3 / chiSquaredQuantile(0.05, 3), Infinity, 3)).toBeCloseTo(0.05, 13);
    expect(fUpperQuantile(0.05, Infinity, 3)).toBeCloseTo(3 / chiSquaredQuantile(0.05, 3), 12);
  });

  it('the ends of the scale', () => {
    expect(studentQuantile(0, 4)).toBe(-Infinity);
    expect(studentQuantile(1, 4)).toBe(Infinity);
    expect(Object.is(studentQuantile(0.5, 4), 0)).toBe(true);
    expect(normalQuantile(0)).toBe(-Infinity);
    expect(normalUpperQuantile(0)).toBe(Infinity);
    expect([fLower(-1, 2, 3), fUpper(0, 2, 3), fUpper(Infinity, 2, 3)]).toEqual([0, 1, 0]);
    expect([chiSquaredLower(-1, 2), chiSquaredUpper(0, 2), chiSquaredUpper(Infinity, 2)]).toEqual([0, 1, 0]);
    expect([fQuantile(0, 2, 3), fQuantile(1, 2, 3), chiSquaredUpperQuantile(0, 2)]).toEqual([
      0,
      Infinity,
      Infinity,
    ]);
  });

  it('a missing statistic has a missing probability', () => {
    for (const value of [
      normalUpper(Number.NaN),
      studentUpper(Number.NaN, 3),
      studentTwoSided(Number.NaN, 3),
      fUpper(Number.NaN, 1, 3),
      chiSquaredUpper(Number.NaN, 3),
      studentQuantile(Number.NaN, 3),
      fQuantile(Number.NaN, 1, 3),
      chiSquaredQuantile(Number.NaN, 3),
      normalQuantile(Number.NaN),
    ])
      expect(value).toBeNaN();
  });

  it('misuse is named with the function and the remedy', () => {
    expect(() => studentUpper(1, 0)).toThrow('studentUpper: df must be above zero; found 0.');
    expect(() => fUpper(1, 1, Number.NaN)).toThrow('fUpper: denominatorDf must be above zero; found NaN.');
    expect(() => chiSquaredQuantile(1.2, 3)).toThrow(
      'chiSquaredQuantile: the probability must lie in [0, 1]; found 1.2.',
    );
    expect(() => normalQuantile(-0.1)).toThrow('normalQuantile');
  });
});
