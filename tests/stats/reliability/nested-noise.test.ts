import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { chiSquaredQuantile, createStream } from '../../../src/numerics/index.ts';
import {
  fitModel,
  type NestedValue,
  nestedNoise,
  profileIntervals,
  sdOf,
  varianceOf,
  varianceSum,
} from '../../../src/stats/index.ts';

const read = (path: string) => readFileSync(new URL(`../../reference/${path}`, import.meta.url), 'utf8');
const reference = JSON.parse(read('repeated/nested_noise.json'));
const lines = (path: string) =>
  read(path)
    .trim()
    .split('\n')
    .slice(1)
    .map((line) => line.split(','));
const SETS: Readonly<Record<'pastes' | 'unbalanced', readonly NestedValue[]>> = {
  pastes: lines('models/pastes.csv').map(([value, unit, , occasion]) => ({
    unit: unit!,
    occasion: occasion!,
    value: Number(value),
  })),
  unbalanced: lines('repeated/nested_unbalanced.csv').map(([unit, occasion, value]) => ({
    unit: unit!,
    occasion: occasion!,
    value: Number(value),
  })),
};
const near = (value: number | null | undefined, expected: number, digits: number) =>
  expect(Math.abs((value ?? Number.NaN) - expected)).toBeLessThan(
    10 ** -digits * Math.max(1e-3, Math.abs(expected)),
  );

describe.each(['pastes', 'unbalanced'] as const)('variances of %s', (name) => {
  const noise = nestedNoise(SETS[name]);
  const expected = reference[name];

  it('has the mean squares and coefficients of R', () => {
    const { squares } = expected.moments;
    near(noise.value?.value, squares.value, 10);
    near(noise.occasion?.value, squares.occasion, 10);
    near(noise.unit?.value, squares.unit, 10);
    expect([
      noise.value?.degreesOfFreedom,
      noise.occasion?.degreesOfFreedom,
      noise.unit?.degreesOfFreedom,
    ]).toEqual([squares.valueDf, squares.occasionDf, squares.unitDf]);
    near(noise.perValue, squares.perValue, 10);
    near(noise.unitOccasionShare, squares.a, 10);
    near(noise.unitValueShare, squares.b, 10);
  });

  // The modified large sample formulas written out in nested_noise.R with R's own quantiles.
  it.each([
    ['unit', [1, 0, 0]],
    ['occasion', [0, 1, 0]],
    ['value', [0, 0, 1]],
    ['oneValue', [0, 1, 1]],
    ['meanOf8', [0, 1, 1 / 8]],
    ['meanOf3x10', [0, 1 / 3, 1 / 30]],
  ] as const)('%s: value and interval', (which, [unit, occasion, value]) => {
    const found = varianceOf(noise, { unit, occasion, value }, 0.95)!;
    near(found.value, expected.moments[which].value, 9);
    near(found.interval[0], expected.moments[which].interval[0], 9);
    near(found.interval[1], expected.moments[which].interval[1], 9);
  });

  it('beside lme4: restricted likelihood and profile intervals of the model engine', () => {
    const rows = SETS[name];
    const outcome = fitModel(
      {
        outcome: 'y',
        fixed: ['intercept'],
        random: [
          { group: 'unit', effects: ['intercept'] },
          { group: ['unit', 'occasion'], effects: ['intercept'] },
        ],
      },
      {
        y: rows.map((row) => row.value),
        unit: rows.map((row) => row.unit),
        occasion: rows.map((row) => row.occasion),
      },
    );
    if (!outcome.ok) throw new Error('no fit');
    const { random, residualSd } = outcome.fit.result;
    near(random[0]!.sd[0], expected.sd.unit, 6);
    near(random[1]!.sd[0], expected.sd.occasion, 6);
    near(residualSd, expected.sd.Residual, 6);
    const [unit, occasion, residual] = profileIntervals(outcome.fit, [
      { kind: 'sd', group: random[0]!.group, effect: 'intercept' },
      { kind: 'sd', group: random[1]!.group, effect: 'intercept' },
      { kind: 'residual-sd' },
    ]);
    for (const [own, theirs] of [
      [unit, expected.profile.unit],
      [occasion, [expected.lowerEnd ?? expected.profile.occasion[0], expected.profile.occasion[1]]],
      [residual, expected.profile.residual],
    ] as const) {
      near(own!.interval[0], theirs[0], 3);
      near(own!.interval[1], theirs[1], 3);
    }
  });

  it('in balanced data is restricted maximum likelihood itself (lme4)', () => {
    if (name !== 'pastes') return;
    near(sdOf(varianceOf(noise, { unit: 1, occasion: 0, value: 0 }, 0.95)!).value, expected.sd.unit, 6);
    near(sdOf(varianceOf(noise, { unit: 0, occasion: 1, value: 0 }, 0.95)!).value, expected.sd.occasion, 6);
    near(sdOf(varianceOf(noise, { unit: 0, occasion: 0, value: 1 }, 0.95)!).value, expected.sd.Residual, 6);
  });
});

describe('what nested data can and cannot tell', () => {
  it('one occasion for each unit: no occasion variance, but values have theirs', () => {
    const noise = nestedNoise([
      { unit: 'a', occasion: '1', value: 1 },
      { unit: 'a', occasion: '1', value: 3 },
      { unit: 'b', occasion: '2', value: 5 },
    ]);
    expect(noise.occasion).toBeNull();
    expect(noise.repeatedUnits).toBe(0);
    expect(varianceOf(noise, { unit: 0, occasion: 0, value: 1 }, 0.95)!.value).toBe(2);
    expect(varianceOf(noise, { unit: 0, occasion: 1, value: 1 }, 0.95)).toBeNull();
  });

  it('one value on each occasion: the two kinds of noise are known together only', () => {
    const noise = nestedNoise([
      { unit: 'a', occasion: '1', value: 1 },
      { unit: 'a', occasion: '2', value: 3 },
    ]);
    expect(varianceOf(noise, { unit: 0, occasion: 1, value: 1 }, 0.95)!.value).toBe(2);
    expect(varianceOf(noise, { unit: 0, occasion: 1, value: 0 }, 0.95)).toBeNull();
  });

  it('an effect shared by all units is taken out exactly, and costs its degrees of freedom', () => {
    const stream = createStream(11);
    const rows: NestedValue[] = [];
    for (let u = 0; u < 6; u++)
      for (let o = 0; o < 3; o++)
        if (!(u === 2 && o === 1))
          for (let v = 0; v < 2; v++)
            rows.push({ unit: `u${u}`, occasion: `u${u}-${o}`, value: stream.normal() });
    const label = (occasion: string) => occasion.split('-')[1]!;
    const plain = nestedNoise(rows, label);
    const moved = nestedNoise(
      rows.map((row) => ({ ...row, value: row.value + [0, 40, -7][Number(label(row.occasion))]! })),
      label,
    );
    expect(moved.occasion!.value).toBeCloseTo(plain.occasion!.value, 9);
    expect(moved.unit!.value).toBeCloseTo(plain.unit!.value, 9);
    expect(plain.occasion!.degreesOfFreedom).toBe(17 - 6 - 2);
  });

  it('refuses what is no mean square', () => {
    expect(() => varianceSum([{ weight: 1, meanSquare: -1, degreesOfFreedom: 3 }], 0.95)).toThrow(
      'varianceSum',
    );
    expect(() => varianceSum([], 1)).toThrow('level');
    expect(() => nestedNoise([{ unit: 'a', occasion: '1', value: Number.NaN }])).toThrow('nestedNoise');
  });

  it('of a single mean square is the exact chi-squared interval', () => {
    const [low, high] = varianceSum([{ weight: 1, meanSquare: 4, degreesOfFreedom: 10 }], 0.95).interval;
    expect(low).toBeCloseTo(40 / chiSquaredQuantile(0.975, 10), 10);
    expect(high).toBeCloseTo(40 / chiSquaredQuantile(0.025, 10), 10);
  });
});
