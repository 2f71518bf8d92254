/**
 * R-squared and intraclass correlations against whole-matrix REML in numpy
 * (tests/reference/variance/variance.py).
 */
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import {
  type DataColumns,
  explainedVariance,
  type Fit,
  fitModel,
  intraclassCorrelation,
  type Model,
} from '../../../../src/stats/index.ts';
import { MODELS, readColumns, relative } from '../golden.ts';

const expected = JSON.parse(
  readFileSync(fileURLToPath(new URL('../../../reference/variance/expected.json', import.meta.url)), 'utf8'),
);

function fitOf(model: Model, data: DataColumns): Fit {
  const outcome = fitModel(model, data);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  return outcome.fit;
}
const nested = fitOf(
  {
    outcome: 'strength',
    fixed: ['intercept'],
    random: [
      { group: 'batch', effects: ['intercept'] },
      { group: ['batch', 'cask'], effects: ['intercept'] },
    ],
  },
  readColumns(`${MODELS}pastes.csv`),
);
const crossed = fitOf(
  {
    outcome: 'diameter',
    fixed: ['intercept'],
    random: [
      { group: 'plate', effects: ['intercept'] },
      { group: 'sample', effects: ['intercept'] },
    ],
  },
  readColumns(`${MODELS}penicillin.csv`),
);
const sleep = readColumns(`${MODELS}sleepstudy.csv`);
const slopes: Model = {
  outcome: 'Reaction',
  fixed: ['intercept', { column: 'Days' }],
  random: [{ group: 'Subject', effects: ['intercept', 'Days'] }],
};

describe('explainedVariance', () => {
  it.each([
    ['nested intercepts', nested, expected.pastes.shares],
    ['crossed intercepts', crossed, expected.penicillin.shares],
    ['random slopes', fitOf(slopes, sleep), expected.sleepstudy.shares],
    [
      'known weights',
      fitOf({ ...slopes, random: [{ group: 'Subject', effects: ['intercept'] }], weights: 'weight' }, sleep),
      expected.sleepstudyWeighted.shares,
    ],
  ])('%s: 6 digits', (_, fit, shares) => {
    const found = explainedVariance(fit);
    if (found.kind !== 'mixed') throw new Error('expected a mixed model');
    expect(Math.abs(found.marginal - shares.marginal)).toBeLessThan(1e-6);
    expect(Math.abs(found.conditional - shares.conditional)).toBeLessThan(1e-6);
    expect(relative(found.residual, shares.residual)).toBeLessThan(1e-6);
    found.random.forEach(({ variance }, t) => {
      expect(relative(variance, shares.random[t])).toBeLessThan(2e-6);
    });
  });

  it('least squares: worked by hand, weights and a missing intercept included', () => {
    const share = (model: Model, data: DataColumns) => {
      const found = explainedVariance(fitOf(model, data));
      if (found.kind !== 'least-squares') throw new Error('expected least squares');
      return found;
    };
    const data = { y: [1, 2, 6], x: [0, 1, 2], twice: [1, 2, 1] };
    const line = share({ outcome: 'y', fixed: ['intercept', { column: 'x' }] }, data);
    expect(line.rSquared).toBeCloseTo(25 / 28, 12);
    expect(line.adjusted).toBeCloseTo(1 - 1.5 / 7, 12);
    // A weight of 2 is the row twice: y = 1, 2, 2, 6 about 2.75, slope 2.5.
    const weighted = share({ outcome: 'y', fixed: ['intercept', { column: 'x' }], weights: 'twice' }, data);
    expect(weighted.rSquared).toBeCloseTo(12.5 / 14.75, 12);
    // Through the origin: sum x y = 14, sum x x = 5, sum y y = 41.
    expect(share({ outcome: 'y', fixed: [{ column: 'x' }] }, data).rSquared).toBeCloseTo(
      14 ** 2 / 5 / 41,
      12,
    );
  });
});

describe('intraclassCorrelation', () => {
  it.each([
    ['batches', nested, 'batch', expected.pastes.batch],
    ['casks share their batch', nested, 'batch / cask', expected.pastes.cask],
    ['plates', crossed, 'plate', expected.penicillin.plate],
    ['samples', crossed, 'sample', expected.penicillin.sample],
  ])('%s: 6 digits, interval to 5', (_, fit, group, { estimate, interval }) => {
    const found = intraclassCorrelation(fit, group);
    expect(relative(found.estimate, estimate)).toBeLessThan(1e-6);
    expect(relative(found.interval![0], interval[0])).toBeLessThan(1e-5);
    expect(relative(found.interval![1], interval[1])).toBeLessThan(1e-5);
  });

  it('says where there is no interval, and refuses what it cannot answer', () => {
    const flat = fitOf(
      { outcome: 'y', fixed: ['intercept'], random: [{ group: 'g', effects: ['intercept'] }] },
      { y: [1, 5, 2, 6, 1.5, 4.6], g: ['a', 'a', 'b', 'b', 'c', 'c'] },
    );
    const found = intraclassCorrelation(flat, 'g');
    expect(found.estimate).toBe(0);
    expect(found.interval).toBeNull();
    expect(found.note).toContain('estimated as zero');
    expect(() => intraclassCorrelation(fitOf(slopes, sleep), 'Subject')).toThrow(/depends on the row/);
    expect(() => intraclassCorrelation(nested, 'golfer')).toThrow(/no random intercept across golfer/);
    expect(() => intraclassCorrelation({ ...nested }, 'batch')).toThrow(/only fits of a normal outcome/);
  });
});
