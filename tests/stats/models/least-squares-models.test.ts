/** Models without random terms: certified values, and designs built by hand in numpy (least-squares.py). */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { type FitResult, type FixedTerm, fitModel, type Model } from '../../../src/stats/index.ts';
import { MODELS, relative } from './golden.ts';

interface Expected {
  readonly terms: string[];
  readonly estimate: number[];
  readonly standardError: number[];
  readonly residualSd: number;
  readonly df: number;
  readonly logLikelihoodMl: number;
  readonly tests: { effect: string; numeratorDf: number; denominatorDf: number; f: number; pValue: number }[];
  readonly test: { numeratorDf: number; denominatorDf: number; f: number; pValue: number };
}
const reference = JSON.parse(readFileSync(`${MODELS}least-squares.json`, 'utf8')) as {
  data: Record<string, (number | string)[]>;
  expected: Record<string, Expected>;
};

function fitOf(fixed: FixedTerm<Record<string, unknown>>[], extra: Partial<Model> = {}): FitResult {
  const outcome = fitModel({ outcome: 'y', fixed, criterion: 'ml', ...extra }, reference.data);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  return outcome.fit.result;
}

function check(result: FitResult, expected: Expected): void {
  expect(result.fixed.map(({ term }) => term)).toEqual(expected.terms);
  result.fixed.forEach((term, i) => {
    expect(relative(term.estimate, expected.estimate[i]!)).toBeLessThan(1e-10);
    expect(term.degreesOfFreedom).toBe(expected.df);
  });
  checkFit(result, expected);
}

/** Maximum likelihood divides by n, so the standard errors and residual SD are compared after REML. */
function checkFit(result: FitResult, expected: Expected): void {
  const n = result.observations;
  expect(relative(result.residualSd * Math.sqrt(n / expected.df), expected.residualSd)).toBeLessThan(1e-12);
  expect(relative(result.logLikelihood, expected.logLikelihoodMl)).toBeLessThan(1e-12);
}

const phases = ['pre', 'mid', 'post'];

describe('codings and columns', () => {
  it.each(['reference', 'sum', 'helmert'] as const)('%s coding', (coding) => {
    check(fitOf(['intercept', { column: 'phase', levels: phases, coding }]), reference.expected[coding]!);
    const { fixed } = fitOf(['intercept', { column: 'phase', levels: phases, coding }], {
      criterion: 'reml',
    });
    fixed.forEach(({ standardError }, i) => {
      expect(relative(standardError, reference.expected[coding]!.standardError[i]!)).toBeLessThan(1e-10);
    });
  });
  it('power', () => {
    check(fitOf(['intercept', { column: 'x' }, { column: 'x', power: 2 }]), reference.expected.power!);
  });
  it('known weights', () => {
    check(fitOf(['intercept', { column: 'x' }], { weights: 'w' }), reference.expected.weights!);
  });
  it('offset', () => {
    check(fitOf(['intercept', { column: 'x' }], { offset: 'off' }), reference.expected.offset!);
  });
  it('within and between a group', () => {
    check(
      fitOf(['intercept', { column: 'x', within: 'phase' }, { column: 'x', between: 'phase' }]),
      reference.expected.withinBetween!,
    );
  });
  it('natural cubic spline: the same fit as cardinal natural splines on the same knots', () => {
    const expected = reference.expected.spline!;
    const result = fitOf(['intercept', { column: 'x', spline: { degreesOfFreedom: 4 } }]);
    expect(result.fixed.map(({ term }) => term).slice(1)).toEqual([1, 2, 3, 4].map((k) => `x spline ${k}`));
    checkFit(result, expected);
    const [test] = fitOf(['intercept', { column: 'x', spline: { degreesOfFreedom: 4 } }], {
      criterion: 'reml',
    }).tests;
    expect(relative(test!.f, expected.test.f)).toBeLessThan(1e-9);
    expect(relative(test!.pValue, expected.test.pValue)).toBeLessThan(1e-8);
  });
});

describe('tests of effects do not depend on the coding', () => {
  it.each(['reference', 'sum', 'helmert'] as const)('%s', (coding) => {
    const arm = { column: 'arm', levels: ['a', 'b'], coding } as const;
    const phase = { column: 'phase', levels: phases, coding } as const;
    const cases: [FixedTerm<Record<string, unknown>>[], Expected['tests']][] = [
      [['intercept', { column: 'z' }, arm, { product: ['z', 'arm'] }], reference.expected.product!.tests],
      [['intercept', phase, arm, { product: ['phase', 'arm'] }], reference.expected.twoFactors!.tests],
    ];
    for (const [fixed, expected] of cases)
      fitOf(fixed, { criterion: 'reml' }).tests.forEach((test, i) => {
        expect(test.effect).toBe(expected[i]!.effect);
        expect(test.numeratorDf).toBe(expected[i]!.numeratorDf);
        expect(test.denominatorDf).toBe(expected[i]!.denominatorDf);
        expect(relative(test.f, expected[i]!.f)).toBeLessThan(1e-9);
        expect(relative(test.pValue, expected[i]!.pValue)).toBeLessThan(1e-8);
      });
  });
});

describe('Longley (NIST certified)', () => {
  it('agrees to at least 13 digits in coefficients and 12 in standard errors', () => {
    const longley = JSON.parse(readFileSync(`${MODELS}longley.json`, 'utf8'));
    const outcome = fitModel<Record<string, unknown>>(
      {
        outcome: 'y',
        fixed: [
          'intercept',
          ...['deflator', 'product', 'unemployed', 'forces', 'population', 'year'].map((column) => ({
            column,
          })),
        ],
      },
      longley.data,
    );
    if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
    const { fixed, residualSd } = outcome.fit.result;
    longley.certified.forEach((row: { estimate: number; standardError: number }, i: number) => {
      expect(relative(fixed[i]!.estimate, row.estimate)).toBeLessThan(1e-13);
      expect(relative(fixed[i]!.standardError, row.standardError)).toBeLessThan(1e-12);
    });
    expect(relative(residualSd, longley.residualSd)).toBeLessThan(1e-13);
  });
});
