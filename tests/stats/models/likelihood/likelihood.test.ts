/** Likelihood-ratio tests and profile intervals against lme4 (reference.R beside reference.json) and against refits. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { chiSquaredQuantile } from '../../../../src/numerics/index.ts';
import {
  type DataColumns,
  type Fit,
  fitModel,
  likelihoodRatio,
  type Model,
  profileIntervals,
} from '../../../../src/stats/index.ts';
import { committedPairs, MODELS, readColumns, relative } from '../golden.ts';

function fitted(model: Model, data: DataColumns): Fit {
  const outcome = fitModel(model, data);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  return outcome.fit;
}

const reference = JSON.parse(readFileSync(`${MODELS}resampling/reference.json`, 'utf8'));
const slope: Model = JSON.parse(readFileSync(`${MODELS}sleepstudy_slope_REML.json`, 'utf8')).model;
const sleep = readColumns(`${MODELS}sleepstudy.csv`);
const whole = fitted(slope, sleep);

describe('likelihoodRatio', () => {
  it('of a fixed effect is the plain chi-squared test', () => {
    const flat = fitted({ ...slope, fixed: ['intercept'] }, sleep);
    const test = likelihoodRatio(flat, whole);
    const [statistic, df, p] = reference.ratio_fixed;
    expect(relative(test.statistic, statistic)).toBeLessThan(1e-6);
    expect(test.degreesOfFreedom).toBe(df);
    expect(relative(test.pValue, p)).toBeLessThan(1e-5);
    expect(test.notes).toEqual([]);
  });

  it('of a random slope uses the mixture, and says so', () => {
    const small = fitted({ ...slope, random: [{ group: 'Subject', effects: ['intercept'] }] }, sleep);
    const test = likelihoodRatio(small, whole);
    const [statistic, df, p] = reference.ratio_slope;
    expect(relative(test.statistic, statistic)).toBeLessThan(1e-6);
    expect(test.degreesOfFreedom).toBe(df);
    // The reference's p-value is that of chi-squared(2), exp(-statistic / 2).
    expect(relative(p, Math.exp(-statistic / 2))).toBeLessThan(1e-6);
    expect(test.pValue).toBeLessThan(p);
    expect(test.reference).toEqual([
      { share: 0.5, df: 1 },
      { share: 0.5, df: 2 },
    ]);
    expect(test.notes[0]).toMatch(/mean of those of chi-squared distributions with 1 and 2/);
  });

  it('of a single variance is half a chi-squared, and one where the variance is zero', () => {
    const none = fitted({ outcome: 'Reaction', fixed: slope.fixed }, sleep);
    const intercept = fitted({ ...slope, random: [{ group: 'Subject', effects: ['intercept'] }] }, sleep);
    const test = likelihoodRatio(none, intercept);
    expect(relative(test.statistic, reference.ratio_intercept[0])).toBeLessThan(1e-6);
    expect(test.reference.map(({ df }) => df)).toEqual([0, 1]);
    const data = readColumns(`${MODELS}resampling/singular.csv`);
    const model: Model = { outcome: 'y', fixed: ['intercept', { column: 'x' }] };
    const zero = likelihoodRatio(
      fitted(model, data),
      fitted({ ...model, random: [{ group: 'g', effects: ['intercept'] }] }, data),
    );
    expect(zero.statistic).toBeLessThan(1e-9);
    expect(zero.pValue).toBeGreaterThan(0.49);
  });

  it('refuses models that are not nested, other rows, and fits of another kind', () => {
    const other = fitted({ ...slope, fixed: ['intercept', { column: 'Days', power: 2 }] }, sleep);
    expect(() => likelihoodRatio(other, whole)).toThrow(/must be among those/);
    expect(() => likelihoodRatio(whole, whole)).toThrow(/and more/);
    const fewer = Object.fromEntries(
      Object.entries(sleep).map(([name, column]) => [name, Array.from(column).slice(10)]),
    );
    expect(() => likelihoodRatio(fitted({ ...slope, fixed: ['intercept'] }, fewer), whole)).toThrow(
      /170 and 180/,
    );
  });
});

describe('profileIntervals', () => {
  it('end where the deviance of the reference has risen by the quantile', () => {
    const found = profileIntervals(whole);
    const expected = [
      reference.profile_intercept,
      reference.profile_Days,
      reference.profile_sd_intercept,
      reference.profile_sd_days,
      reference.profile_correlation,
      reference.profile_residual,
    ];
    found.forEach(({ interval, notes }, i) => {
      expect(notes).toEqual([]);
      for (const end of [0, 1] as const) expect(relative(interval[end], expected[i][end])).toBeLessThan(2e-5);
    });
  });

  it.each(['pastes_REML', 'machines_slope_REML', 'sleepstudy_zerocorr_REML', 'power40x2x10_nested_REML'])(
    '%s: a fixed effect held at an end, by an offset, raises the deviance by the quantile',
    (name) => {
      const { model, data: file } = committedPairs().find((pair) => pair.name === name)!;
      const data = readColumns(`${MODELS}${file}`);
      const ml: Model = { ...model, criterion: 'ml', inference: { degreesOfFreedom: 'normal' } };
      const fit = fitted(ml, data);
      const term = { kind: 'fixed', term: 'intercept' } as const;
      const [profile] = profileIntervals(fit, [term], 0.9);
      for (const end of profile!.interval) {
        // Without its column the intercept stays where the offset holds it.
        const rest = ml.fixed.filter((effect) => effect !== 'intercept');
        if (rest.length === 0) continue;
        const offset = new Float64Array(data[model.outcome]!.length).fill(end);
        const held = fitted({ ...ml, fixed: rest, offset: 'held' }, { ...data, held: offset });
        const rise = 2 * (fit.result.logLikelihood - held.result.logLikelihood);
        expect(Math.abs(rise - chiSquaredQuantile(0.9, 1))).toBeLessThan(1e-5);
      }
      expect(profile!.interval[0]).toBeLessThan(profile!.estimate);
      expect(profile!.interval[1]).toBeGreaterThan(profile!.estimate);
    },
  );

  it('lie about the estimate for every quantity, wider at a higher level, and reach zero where a variance may be zero', () => {
    for (const name of ['pastes_REML', 'machines_slope_REML', 'power40x2x10_nested_REML']) {
      const { model, data: file } = committedPairs().find((pair) => pair.name === name)!;
      const fit = fitted(model, readColumns(`${MODELS}${file}`));
      const narrow = profileIntervals(fit, undefined, 0.8);
      const wide = profileIntervals(fit, undefined, 0.95);
      narrow.forEach(({ estimate, interval }, i) => {
        expect(interval[0]).toBeLessThanOrEqual(estimate);
        expect(interval[1]).toBeGreaterThanOrEqual(estimate);
        expect(wide[i]!.interval[0]).toBeLessThanOrEqual(interval[0]);
        expect(wide[i]!.interval[1]).toBeGreaterThanOrEqual(interval[1]);
      });
    }
    const data = readColumns(`${MODELS}resampling/singular.csv`);
    const fit = fitted(
      {
        outcome: 'y',
        fixed: ['intercept', { column: 'x' }],
        random: [{ group: 'g', effects: ['intercept'] }],
      },
      data,
    );
    const [sd] = profileIntervals(fit, [{ kind: 'sd', group: 'g', effect: 'intercept' }]);
    expect(sd!.estimate).toBe(0);
    expect(sd!.interval[0]).toBe(0);
    expect(sd!.interval[1]).toBeGreaterThan(0);
    expect(sd!.notes[0]).toMatch(/edge of what is possible/);
  });

  it('refuse a quantity the model does not estimate', () => {
    expect(() => profileIntervals(whole, [{ kind: 'fixed', term: 'Day' }])).toThrow(/no fixed term Day/);
    expect(() => profileIntervals(whole, [{ kind: 'sd', group: 'Subject', effect: 'Day' }])).toThrow(
      /does not estimate SD of Day/,
    );
  });
});
