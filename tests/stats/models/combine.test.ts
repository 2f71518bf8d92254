/**
 * Combinations of fixed and random effects against Henderson's mixed-model equations written out whole:
 * [X'X  X'Z; Z'X  Z'Z + G^-1 s2]^-1 s2 is the covariance of (b - beta, u_hat - u). Henderson (1975), Biometrics
 * 31, 423-447.
 */
import { describe, expect, it } from 'vitest';
import { type Fit, fitModel, type Model } from '../../../src/stats/index.ts';
import { invert, type Matrix, times, transpose, zeros } from './dense-oracle.ts';
import { committedPairs, MODELS, readColumns } from './golden.ts';

function fitted(model: Model, data: Parameters<typeof fitModel>[1]): Fit {
  const outcome = fitModel(model, data);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  return outcome.fit;
}

/** The solution and covariance of the mixed-model equations at given variances. */
function henderson(x: Matrix, z: Matrix, g: Matrix, residual: number, y: number[]) {
  const w = x.map((row, i) => [...row, ...z[i]!]);
  const left = times(transpose(w), w).map((row) => row.map((value) => value / residual));
  const inverseG = invert(g).inverse;
  const p = x[0]!.length;
  inverseG.forEach((row, i) => {
    row.forEach((value, j) => {
      left[p + i]![p + j]! += value;
    });
  });
  const covariance = invert(left).inverse;
  const right = times(
    transpose(w),
    y.map((value) => [value / residual]),
  );
  return { solution: times(covariance, right).map((row) => row[0]!), covariance };
}

describe('one grouping factor with a slope', () => {
  const data = readColumns(`${MODELS}sleepstudy.csv`);
  const subjects = [...new Set(Array.from(data.Subject!, String))];
  const days = Array.from(data.Days!, Number);
  const y = Array.from(data.Reaction!, Number);
  const x = days.map((day) => [1, day]);
  const z = zeros(y.length, 2 * subjects.length);
  days.forEach((day, i) => {
    const s = subjects.indexOf(String(data.Subject![i]));
    z[i]![2 * s] = 1;
    z[i]![2 * s + 1] = day;
  });
  const { model } = committedPairs().find(({ name }) => name === 'sleepstudy_slope_REML')!;
  const fit = fitted(model, data);
  const { sd, correlation } = fit.result.random[0]!;
  const g = zeros(2 * subjects.length, 2 * subjects.length);
  subjects.forEach((_, s) => {
    for (let a = 0; a < 2; a++)
      for (let b = 0; b < 2; b++) g[2 * s + a]![2 * s + b] = sd[a]! * sd[b]! * correlation[a]![b]!;
  });
  const { solution, covariance } = henderson(x, z, g, fit.result.residualSd ** 2, y);
  const quadratic = (weights: number[]) =>
    weights.reduce((sum, a, i) => sum + weights.reduce((s, b, j) => s + a * b * covariance[i]![j]!, 0), 0);
  const at = (weights: number[]) => weights.reduce((sum, a, i) => sum + a * solution[i]!, 0);

  it('the slope of one subject: value and prediction error', () => {
    const weights = new Array(2 + 2 * subjects.length).fill(0);
    weights[1] = 1;
    weights[2 + 2 * subjects.indexOf('335') + 1] = 1;
    const found = fit.combine({
      fixed: { Days: 1 },
      random: [{ group: 'Subject', level: '335', weights: { Days: 1 } }],
    });
    expect(found.estimate).toBeCloseTo(at(weights), 8);
    expect(found.standardError).toBeCloseTo(Math.sqrt(quadratic(weights)), 8);
  });

  it('the difference of two subjects, intercept and slope together', () => {
    const weights = new Array(2 + 2 * subjects.length).fill(0);
    for (const [subject, sign] of [
      ['308', 1],
      ['372', -1],
    ] as const) {
      weights[2 + 2 * subjects.indexOf(subject)] = sign;
      weights[2 + 2 * subjects.indexOf(subject) + 1] = 5 * sign;
    }
    const found = fit.combine({
      fixed: {},
      random: [
        { group: 'Subject', level: '308', weights: { intercept: 1, Days: 5 } },
        { group: 'Subject', level: '372', weights: { intercept: -1, Days: -5 } },
      ],
    });
    expect(found.estimate).toBeCloseTo(at(weights), 8);
    expect(found.standardError).toBeCloseTo(Math.sqrt(quadratic(weights)), 8);
  });

  it('without random weights a joint prediction is the contrast, with the same degrees of freedom', () => {
    const contrast = fit.combine({ fixed: { intercept: 1, Days: 4 } });
    const joint = fit.combine({
      fixed: { intercept: 1, Days: 4 },
      random: [{ group: 'Subject', level: '308', weights: { Days: 0 } }],
    });
    expect(joint.estimate).toBeCloseTo(contrast.estimate, 8);
    expect(joint.standardError).toBeCloseTo(contrast.standardError, 8);
    expect(joint.degreesOfFreedom! / contrast.degreesOfFreedom!).toBeCloseTo(1, 6);
  });

  it('an interval widens with its level, and names that do not exist are refused', () => {
    const combination = { fixed: { Days: 1 } };
    const narrow = fit.combine(combination, 0.5).interval;
    const wide = fit.combine(combination, 0.99).interval;
    expect(wide[0]).toBeLessThan(narrow[0]);
    expect(wide[1]).toBeGreaterThan(narrow[1]);
    expect(() => fit.combine({ fixed: { days: 1 } })).toThrow('combine: no fixed term days');
    expect(() =>
      fit.combine({ fixed: {}, random: [{ group: 'Subject', level: '1', weights: { Days: 1 } }] }),
    ).toThrow('no level 1');
    expect(() => fit.combine(combination, 1.5)).toThrow('between 0 and 1');
  });
});

describe('nested and crossed groups', () => {
  it.each([
    ['pastes_REML', 'batch', ['batch', 'cask'], 'strength'],
    ['penicillin_REML', 'plate', ['sample'], 'diameter'],
  ] as const)('%s', (name, first, second, outcome) => {
    const data = readColumns(`${MODELS}${name.split('_')[0]}.csv`);
    const { model } = committedPairs().find((pair) => pair.name === name)!;
    const fit = fitted(model, data);
    const y = Array.from(data[outcome]!, Number);
    const outer = y.map((_, i) => String(data[first]![i]));
    const inner = y.map((_, i) => second.map((column) => String(data[column]![i])).join(' / '));
    const levels = [[...new Set(outer)], [...new Set(inner)]] as const;
    const z = y.map((_, i) => [
      ...levels[0].map((level) => (level === outer[i] ? 1 : 0)),
      ...levels[1].map((level) => (level === inner[i] ? 1 : 0)),
    ]);
    const size = levels[0].length + levels[1].length;
    const g = zeros(size, size);
    const sds = [fit.result.random[0]!.sd[0]!, fit.result.random[1]!.sd[0]!];
    for (let i = 0; i < size; i++) g[i]![i] = (i < levels[0].length ? sds[0]! : sds[1]!) ** 2;
    const x = y.map(() => [1]);
    const { solution, covariance } = henderson(x, z, g, fit.result.residualSd ** 2, y);
    const weights = new Array(1 + size).fill(0);
    weights[0] = 1;
    weights[1 + 2] = 1;
    weights[1 + levels[0].length + 4] = 1;
    weights[1 + levels[0].length + 5] = -0.5;
    const found = fit.combine({
      fixed: { intercept: 1 },
      random: [
        { group: first, level: levels[0][2]!, weights: { intercept: 1 } },
        { group: second.join(' / '), level: levels[1][4]!, weights: { intercept: 1 } },
        { group: second.join(' / '), level: levels[1][5]!, weights: { intercept: -0.5 } },
      ],
    });
    const w = weights.map((value) => [value]);
    expect(found.estimate).toBeCloseTo(
      weights.reduce((sum, a, i) => sum + a * solution[i]!, 0),
      9,
    );
    expect(found.standardError ** 2).toBeCloseTo(times(transpose(w), times(covariance, w))[0]![0]!, 9);
  });
});
