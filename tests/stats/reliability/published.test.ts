import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  equalVariances,
  limitsFromPairs,
  limitsFromReadings,
  limitsOfAgreement,
  measurementErrors,
  minimalDetectableChange,
  proportionalBias,
  repeatability,
  sixCorrelations,
  twoWayMeanSquares,
} from '../../../src/stats/index.ts';

const read = (name: string) =>
  readFileSync(new URL(`../../reference/repeated/${name}`, import.meta.url), 'utf8');
const published = JSON.parse(read('agreement.json'));
const computed = JSON.parse(read('nested_noise.json'));
const numbers = (name: string) =>
  read(name)
    .trim()
    .split('\n')
    .slice(1)
    .map((line) => line.split(',').slice(1).map(Number));
const ratings = numbers('shrout_fleiss_1979.csv');
const flow = numbers('bland_altman_1986_pefr.csv') as [number, number, number, number][];
const near = (value: number | null | undefined, expected: number, digits = 9) =>
  expect(Math.abs((value ?? Number.NaN) / expected - 1)).toBeLessThan(10 ** -digits);

describe('six intraclass correlations on the ratings of Shrout and Fleiss (1979)', () => {
  const squares = twoWayMeanSquares(ratings);
  const six = sixCorrelations(squares);
  const source = published.shrout_fleiss_1979;

  it('has their mean squares', () => {
    expect(squares.between).toBeCloseTo(source.BMS, 4);
    expect(squares.raterMean).toBeCloseTo(source.JMS, 4);
    expect(squares.error).toBeCloseTo(source.EMS, 4);
    expect(squares.within).toBeCloseTo(source.WMS, 4);
  });

  it.each([0, 1, 2, 3, 4, 5])('form %i of six: the published value, F and interval', (i) => {
    const form = six[i]!;
    expect(form.shroutFleiss).toBe(source.order[i]);
    expect(form.estimate!.toFixed(2)).toBe(source.published[i].toFixed(2));
    near(form.estimate, source.icc[i]);
    near(form.f, source.F[i]);
    near(form.interval?.[0], source.lower[i], 8);
    near(form.interval?.[1], source.upper[i], 8);
  });

  it('gives standard errors of measurement and the smallest detectable change of Weir (2005)', () => {
    const errors = measurementErrors(squares);
    expect(errors.consistency).toBeCloseTo(published.weir_2005.sem_consistency, 5);
    expect(errors.agreement).toBeCloseTo(published.weir_2005.sem_agreement, 5);
    // 1.96 there, 1.959964 here.
    expect(minimalDetectableChange(errors.consistency)).toBeCloseTo(published.weir_2005.mdc95, 3);
  });

  it('is null where nothing varies, and 1 where raters agree to the digit', () => {
    const flat = sixCorrelations(
      twoWayMeanSquares([
        [2, 2],
        [2, 2],
      ]),
    );
    expect(flat.map(({ estimate }) => estimate)).toEqual(Array(6).fill(null));
    expect(flat.every(({ interval }) => interval === null)).toBe(true);
    const same = sixCorrelations(
      twoWayMeanSquares([
        [1, 1],
        [2, 2],
        [4, 4],
      ]),
    );
    expect(same.map(({ estimate }) => estimate)).toEqual(Array(6).fill(1));
    expect(same.map(({ interval }) => interval)).toEqual(Array(6).fill([1, 1]));
  });

  it('does not change when all ratings are moved and stretched, or raters swapped', () => {
    const cell = fc.double({ min: -50, max: 50, noNaN: true });
    fc.assert(
      fc.property(
        fc.array(fc.tuple(cell, cell, cell), { minLength: 3, maxLength: 12 }),
        fc.double({ min: 0.1, max: 30, noNaN: true }),
        fc.double({ min: -100, max: 100, noNaN: true }),
        (table, scale, shift) => {
          const before = twoWayMeanSquares(table);
          fc.pre(before.error > 1e-3 && before.between > 1e-3);
          const one = sixCorrelations(before);
          const other = sixCorrelations(
            twoWayMeanSquares(table.map(([a, b, c]) => [c, a, b].map((v) => v! * scale + shift))),
          );
          one.forEach(({ estimate, interval }, i) => {
            // Near the pole of a ratio of mean squares rounding decides, so only what lies away from it is compared.
            if (estimate === null || interval === null || Math.abs(estimate) > 1.5) return;
            if (interval.some((end) => Math.abs(end) > 2)) return;
            expect(other[i]!.estimate).toBeCloseTo(estimate, 5);
            expect(other[i]!.interval![0]).toBeCloseTo(interval[0], 4);
            expect(estimate).toBeGreaterThanOrEqual(interval[0] - 1e-9);
            expect(estimate).toBeLessThanOrEqual(interval[1] + 1e-9);
          });
        },
      ),
    );
  });
});

describe('limits of agreement on the peak flow of Bland and Altman (1986)', () => {
  const source = published.bland_altman_1986;
  const differences = flow.map(([wright, , mini]) => wright - mini);

  it('gives mean, SD, limits of 2 SD and the intervals of all three as printed, and to ten digits', () => {
    const limits = limitsOfAgreement(differences, { multiplier: 2 })!;
    expect(limits.mean.value.toFixed(1)).toBe(source.published.mean_diff.toFixed(1));
    expect(limits.sd.toFixed(1)).toBe(source.published.sd.toFixed(1));
    near(limits.mean.value, source.computed.mean);
    near(limits.sd, source.computed.sd);
    near(limits.lower.value, source.computed.loa_2sd[0]);
    near(limits.upper.value, source.computed.loa_2sd[1]);
    for (const [bound, expected] of [
      [limits.mean, source.computed.ci_mean],
      [limits.lower, source.computed.ci_lower_loa],
      [limits.upper, source.computed.ci_upper_loa],
    ] as const) {
      near(bound.interval[0], expected[0]);
      near(bound.interval[1], expected[1]);
    }
    // The paper rounded s, t and the standard error on the way: -114.3, -45.1, 40.9 and 110.1.
    expect(Math.abs(limits.lower.interval[0] - source.published.ci_lower_loa[0])).toBeLessThan(0.2);
    expect(Math.abs(limits.upper.interval[1] - source.published.ci_upper_loa[1])).toBeLessThan(0.2);
  });

  it('takes 1.96 SDs unless told, as the paper of 1999', () => {
    const limits = limitsOfAgreement(differences)!;
    // 1.959964 there, 1.96 here: the reference's limits to its four digits.
    expect(limits.lower.value).toBeCloseTo(source.computed['loa_1.96'][0], 1);
    expect(limits.upper.value).toBeCloseTo(source.computed['loa_1.96'][1], 1);
  });

  it('gives the coefficients of repeatability of both meters', () => {
    const wright = repeatability(
      flow.map(([a, b]) => [a, b]),
      { multiplier: 2 },
    )!;
    const mini = repeatability(
      flow.map(([, , a, b]) => [a, b]),
      { multiplier: 2 },
    )!;
    near(wright.coefficient, source.computed.cr_wright_2sqrt_meanD2);
    near(mini.coefficient, source.computed.cr_mini);
    near(wright.withinSd, source.computed.sw_wright);
    near(mini.withinSd, source.computed.sw_mini);
  });

  it('has no slope of the difference on the mean, to the digits of R 4.2.2 lm', () => {
    const bias = proportionalBias(flow.map(([a, , b]) => [a, b]))!;
    near(bias.slope, computed.peakFlowSlope.slope);
    near(bias.interval[0], computed.peakFlowSlope.interval[0]);
    near(bias.interval[1], computed.peakFlowSlope.interval[1]);
    near(bias.pValue, computed.peakFlowSlope.p);
  });
});

describe('limits of agreement with several pairs', () => {
  const rows = read('nested_unbalanced.csv')
    .trim()
    .split('\n')
    .slice(1)
    .map((line) => line.split(','));

  it('agrees with the formulas of Bland and Altman (2007) and Zou (2013) written out in R', () => {
    const limits = limitsFromPairs(
      rows.map(([unit, , value]) => ({ unit: unit!, difference: Number(value) })),
    )!;
    const source = computed.unbalanced.agreement;
    near(limits.mean.value, source.mean);
    near(limits.mean.interval[0], source.meanInterval[0]);
    near(limits.sd, source.sd);
    near(limits.lower.value, source.lower);
    near(limits.upper.value, source.upper);
    near(limits.lower.interval[0], source.lowerInterval[0]);
    near(limits.lower.interval[1], source.lowerInterval[1]);
    near(limits.upper.interval[0], source.upperInterval[0]);
    near(limits.upper.interval[1], source.upperInterval[1]);
  });

  it('from one pair in each unit is the plain SD', () => {
    const values = [3, -1, 4, 1.5, -5, 9];
    const plain = limitsOfAgreement(values)!;
    const nested = limitsFromPairs(values.map((difference, i) => ({ unit: `u${i}`, difference })))!;
    expect(nested.sd).toBeCloseTo(plain.sd, 12);
    expect(nested.lower.value).toBeCloseTo(plain.lower.value, 12);
    expect(nested.mean.interval[0]).toBeCloseTo(plain.mean.interval[0], 12);
  });

  it('of unpaired readings adds what averaging took away (Bland and Altman 1999, 5.2)', () => {
    // Differences of means 1, 3, 5: variance 4. Each method's readings have variance 2, two readings: 1 - 1/2 of each.
    const limits = limitsFromReadings([
      { unit: 'a', first: [1, 3], second: [0, 2] },
      { unit: 'b', first: [5, 7], second: [2, 4] },
      { unit: 'c', first: [6, 8], second: [1, 3] },
    ])!;
    expect(limits.mean.value).toBe(3);
    expect(limits.sd ** 2).toBeCloseTo(4 + 1 + 1, 12);
  });

  it('gives null where it cannot be known, and throws for what is no number', () => {
    expect(limitsOfAgreement([1])).toBeNull();
    expect(limitsFromPairs([{ unit: 'a', difference: 1 }])).toBeNull();
    expect(limitsFromReadings([{ unit: 'a', first: [1], second: [2] }])).toBeNull();
    expect(
      limitsFromReadings([
        { unit: 'a', first: [1], second: [2] },
        { unit: 'b', first: [1], second: [4] },
      ]),
    ).toBeNull();
    expect(proportionalBias([[1, 2]])).toBeNull();
    expect(
      proportionalBias([
        [1, 1],
        [1, 1],
        [1, 1],
      ]),
    ).toBeNull();
    expect(repeatability([])).toBeNull();
    expect(() => limitsOfAgreement([1, Number.NaN])).toThrow('limitsOfAgreement');
    expect(() => limitsOfAgreement([1, 2], { level: 95 })).toThrow('level');
    expect(() => limitsFromReadings([{ unit: 'a', first: [], second: [1] }])).toThrow('both methods');
    expect(() => twoWayMeanSquares([[1, 2]])).toThrow('two targets');
    expect(() => twoWayMeanSquares([[1, 2], [1]])).toThrow('every rater');
    expect(() => minimalDetectableChange(-1)).toThrow('0 or more');
  });
});

describe('equal variances', () => {
  it('has the chi-squared and p of R 4.2.2 bartlett.test on the unbalanced values', () => {
    const groups = (computed.bartlettVariances as number[]).map((variance, i) => ({
      variance,
      degreesOfFreedom: computed.bartlettCounts[i] - 1,
    }));
    const test = equalVariances(groups)!;
    near(test.chiSquared, computed.bartlett.chiSquared);
    near(test.pValue, computed.bartlett.p);
    expect(test.degreesOfFreedom).toBe(8);
    expect(equalVariances(groups.slice(0, 1))).toBeNull();
    expect(equalVariances([{ variance: 0, degreesOfFreedom: 3 }, groups[0]!])).toBeNull();
  });
});

describe('limits from pairs on several occasions of a unit', () => {
  it('sums the variances of units, occasions and pairs as R does (nested_noise.R), balanced: lme4 itself', () => {
    const rows = readFileSync(new URL('../../reference/models/pastes.csv', import.meta.url), 'utf8')
      .trim()
      .split('\n')
      .slice(1)
      .map((line) => line.split(','));
    const limits = limitsFromPairs(
      rows.map(([value, unit, , occasion]) => ({
        unit: unit!,
        occasion: occasion!,
        difference: Number(value),
      })),
    )!;
    const { sd } = computed.pastes;
    near(limits.sd, Math.hypot(sd.unit, sd.occasion, sd.Residual), 6);
    expect(limits.upper.interval[1] - limits.upper.value).toBeGreaterThan(
      limits.upper.value - limits.upper.interval[0],
    );
  });
});
