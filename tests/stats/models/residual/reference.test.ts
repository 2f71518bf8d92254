/**
 * Residual variance and correlation against nlme (tests/reference/models/residual/residual.R, versions in the
 * JSON), with and without random terms, REML and ML. What is left is the reference's own stopping rule; the
 * models with a power of the fitted value alone were polished there to their fixed point.
 */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { adjustedMeans, type DataColumns, fitModel, type Model } from '../../../../src/stats/index.ts';
import { MODELS, readColumns, readPair, relative } from '../golden.ts';

interface Expected {
  readonly fixed: readonly number[];
  readonly standardError: readonly number[];
  readonly residualSd: number;
  readonly logLikelihood: number;
  readonly aic: number;
  readonly parameters: {
    readonly ratio?: Readonly<Record<string, number>>;
    readonly power?: number;
    readonly autocorrelation?: number;
  };
  readonly randomSd?: number | readonly number[];
  readonly randomCorrelation?: number;
  readonly autocorrelationInterval?: readonly number[];
  readonly ratioInterval?: readonly number[];
}
const expected: Record<string, Expected> = JSON.parse(
  readFileSync(`${MODELS}residual/residual_expected.json`, 'utf8'),
);

const ovary = readColumns(`${MODELS}residual/ovary.csv`);
const orders = Array.from(ovary.order!, Number);
const stays = orders.map((order) => order % 5 !== 0 && (order < 11 || order > 13));
const gaps = Object.fromEntries(
  Object.entries(ovary).map(([name, column]) => [name, Array.from(column).filter((_, i) => stays[i])]),
);
const orthodont = readColumns(`${MODELS}orthodont.csv`);
const ages = Array.from(orthodont.age!, Number);
const growth: DataColumns = {
  ...orthodont,
  visit: ages.map((age) => (age - 6) / 2),
  w: ages.map((age) => (age > 10 ? 2 : 1)),
};

type Case = readonly [name: string, model: Partial<Model>, data: DataColumns];
const waves = (extra: Partial<Model>): Partial<Model> => ({
  outcome: 'follicles',
  fixed: ['intercept', { column: 'sine' }, { column: 'cosine' }],
  ...extra,
});
const grows = (extra: Partial<Model>): Partial<Model> => ({
  outcome: 'distance',
  fixed: [
    'intercept',
    { column: 'age' },
    { column: 'Sex', levels: ['Female', 'Male'] },
    { product: ['age', 'Sex'] },
  ],
  ...extra,
});
const mares: Partial<Model> = { random: [{ group: 'Mare', effects: ['intercept'] }] };
const subjects: Partial<Model> = { random: [{ group: 'Subject', effects: ['intercept'] }] };
const series = { kind: 'ar1', group: 'Mare', order: 'order' } as const;
const visits = { kind: 'ar1', group: 'Subject', order: 'visit' } as const;
const ar1 = { residual: { correlation: series } };
const bySex = { residual: { variance: { by: 'Sex' } } };
const both = { residual: { variance: { by: 'Sex' }, correlation: visits } };
const power = { residual: { variance: { power: 'fitted' } } } as const;
const ml = { criterion: 'ml' } as const;
const cases: readonly Case[] = [
  ['ovary_lme_ar1_reml', waves({ ...mares, ...ar1 }), ovary],
  ['ovary_lme_ar1_ml', waves({ ...mares, ...ar1, ...ml }), ovary],
  ['ovary_gls_ar1_reml', waves(ar1), ovary],
  ['ovary_gaps_lme_ar1_reml', waves({ ...mares, ...ar1 }), gaps],
  ['ovary_gaps_gls_ar1_ml', waves({ ...ar1, ...ml }), gaps],
  ['ovary_lme_power_reml', waves({ ...mares, ...power }), ovary],
  ['ovary_gls_power_reml', waves(power), ovary],
  [
    'ovary_lme_power_ar1_reml',
    waves({ ...mares, residual: { ...power.residual, correlation: series } }),
    ovary,
  ],
  ['ortho_lme_ident_ml', grows({ ...subjects, ...bySex, ...ml }), growth],
  [
    'ortho_lme_slope_ident_reml',
    grows({ ...bySex, random: [{ group: 'Subject', effects: ['intercept', 'age'] }] }),
    growth,
  ],
  ['ortho_lme_ident_ar1_reml', grows({ ...subjects, ...both }), growth],
  ['ortho_gls_ident_ar1_ml', grows({ ...both, ...ml }), growth],
  ['ortho_gls_ident_reml', grows({ residual: { variance: { by: 'age' } } }), growth],
  ['ortho_lme_weights_ident_reml', grows({ ...subjects, ...bySex, weights: 'w' }), growth],
];

describe.each(cases)('%s', (name, model, data) => {
  const outcome = fitModel(model as Model, data);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  const { result } = outcome.fit;
  const theirs = expected[name]!;
  // The reference leaves its fixed point for this one where its own steps become small.
  const slack = name === 'ovary_lme_power_ar1_reml' ? 30 : 1;
  it('is the same fit', () => {
    expect(result.diagnosis.converged).toBe(true);
    expect(result.diagnosis.boundary).toEqual([]);
    result.fixed.forEach(({ estimate, standardError }, i) => {
      expect(relative(estimate, theirs.fixed[i]!)).toBeLessThan(3e-6 * slack);
      expect(relative(standardError, theirs.standardError[i]!)).toBeLessThan(1e-5 * slack);
    });
    expect(relative(result.residualSd, theirs.residualSd)).toBeLessThan(1e-5 * slack);
    expect(Math.abs(result.logLikelihood - theirs.logLikelihood)).toBeLessThan(1e-6 * slack);
    expect(Math.abs(result.aic - theirs.aic)).toBeLessThan(2e-6 * slack);
    [theirs.randomSd ?? []].flat().forEach((sd, i) => {
      expect(relative(result.random[0]!.sd[i]!, sd)).toBeLessThan(1e-5 * slack);
    });
    if (theirs.randomCorrelation !== undefined)
      expect(relative(result.random[0]!.correlation[0]![1]!, theirs.randomCorrelation)).toBeLessThan(1e-5);
  });
  it('has the same residual parameters', () => {
    const ours = new Map(result.residualParameters!.map((found) => [found.parameter, found]));
    const { ratio, power: exponent, autocorrelation } = theirs.parameters;
    for (const [level, value] of Object.entries(ratio ?? {}).filter(([, value]) => value !== 1)) {
      expect(relative(result.residualSdRatio![level]!, value)).toBeLessThan(2e-5);
      const found = [...ours].find(([key]) => key.startsWith(`SD ${level} / `))![1];
      expect(found.estimate).toBe(result.residualSdRatio![level]);
    }
    if (exponent !== undefined)
      expect(Math.abs(ours.get('power')!.estimate - exponent)).toBeLessThan(1e-6 * slack);
    if (autocorrelation !== undefined)
      expect(Math.abs(ours.get('autocorrelation')!.estimate - autocorrelation)).toBeLessThan(1e-6 * slack);
    // The reference differentiates twice numerically, so its intervals are good to a few percent of their width.
    for (const [key, interval] of [
      ['autocorrelation', theirs.autocorrelationInterval],
      ['SD Male / Female', theirs.ratioInterval],
    ] as const) {
      const found = ours.get(key)?.interval;
      if (!found || !interval) continue;
      for (const side of [0, 1])
        expect(Math.abs(found[side]! - interval[side]!)).toBeLessThan(0.03 * (interval[1]! - interval[0]!));
    }
  });
});

describe('the committed golden pair with residual variance by a factor', () => {
  const pair = readPair(MODELS, 'orthodont_varIdent_REML');
  const outcome = fitModel(pair.model, readColumns(`${MODELS}${pair.data}`));
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  const { result } = outcome.fit;
  const theirs = pair.expected as typeof pair.expected & {
    readonly residualSdRatio: { readonly Male: number };
  };
  it('agrees in every digit the pair holds', () => {
    theirs.fixed.forEach((row, i) => {
      expect(result.fixed[i]!.term).toBe(row.term);
      expect(relative(result.fixed[i]!.estimate, row.estimate)).toBeLessThan(1e-8);
      expect(relative(result.fixed[i]!.standardError, row.standardError)).toBeLessThan(1e-6);
    });
    expect(relative(result.residualSd, theirs.residualSd)).toBeLessThan(1e-6);
    expect(result.residualSdRatio).toEqual({ Male: expect.closeTo(theirs.residualSdRatio.Male, 5) });
    expect(relative(result.random[0]!.sd[0]!, 1.847571)).toBeLessThan(1e-6);
    expect(Math.abs(result.logLikelihood - theirs.logLikelihood)).toBeLessThan(1e-8);
  });
});

describe('adjusted means of a fit with unequal residual variances', () => {
  const [, model, data] = cases.find(([name]) => name === 'ortho_lme_slope_ident_reml')!;
  const outcome = fitModel(model as Model, data);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  it('are the reference fit at the mean age, 11', () => {
    const [intercept, age, male, product] = expected.ortho_lme_slope_ident_reml!.fixed;
    const means = adjustedMeans(outcome.fit, ['Sex']);
    expect(means.map(({ levels }) => levels.Sex)).toEqual(['Female', 'Male']);
    expect(means[0]!.estimate).toBeCloseTo(intercept! + 11 * age!, 8);
    expect(means[1]!.estimate).toBeCloseTo(intercept! + male! + 11 * (age! + product!), 8);
  });
});
