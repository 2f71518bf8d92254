import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { Plan } from '../../src/dataset/index.ts';
import { fitConditional } from '../../src/studies/drill-trial/analysis/conditional-model.ts';
import { drillTrial, type Finding, type FindingEstimate } from '../../src/studies/index.ts';
import { anorexiaTrial, sleepTrial, smallTrial } from './reference-trials.ts';

interface Reference {
  value: number;
  standardError: number;
  degreesOfFreedom: number;
  interval: [number, number];
}

// By lme4 and pbkrtest; the script that made them is beside them, with versions in the file.
const small = JSON.parse(
  readFileSync(new URL('../reference/repeated/small_trials_expected.json', import.meta.url), 'utf8'),
) as Record<'parallel' | 'retention' | 'drillSpeed' | 'lost' | 'crossover' | 'stepped', Reference>;

function findingOf(outcome: ReturnType<typeof drillTrial>): Finding {
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  return outcome.finding;
}

function estimate(finding: Finding, key: string, name = ''): FindingEstimate {
  const found = finding.estimates.find((entry) => entry.key === key && entry.name.includes(name));
  if (found === undefined) throw new Error(`no estimate ${key} ${name}`);
  return found;
}

function expectAgreement(found: FindingEstimate, reference: Reference): void {
  const scale = reference.standardError;
  expect(Math.abs(found.value! - reference.value) / scale).toBeLessThan(1e-5);
  expect(Math.abs(found.degreesOfFreedom! / reference.degreesOfFreedom - 1)).toBeLessThan(1e-4);
  expect(Math.abs(found.interval[0]! - reference.interval[0]) / scale).toBeLessThan(1e-4);
  expect(Math.abs(found.interval[1]! - reference.interval[1]) / scale).toBeLessThan(1e-4);
}

describe('against general-purpose reference software, on small unbalanced trials', () => {
  const parallel = findingOf(drillTrial(smallTrial('parallel')));
  it('parallel groups: effect, interval and Kenward-Roger degrees of freedom', () => {
    expect(parallel.design.kind).toBe('parallel');
    expectAgreement(parallel.estimates[0]!, small.parallel);
  });
  it('retention in one model with post', () => {
    expectAgreement(estimate(parallel, 'retention'), small.retention);
  });
  it('effect at drill speed, and what full swings lose of it', () => {
    expectAgreement(estimate(parallel, 'drill-speed'), small.drillSpeed);
    expectAgreement(estimate(parallel, 'carry-over-loss'), small.lost);
  });
  it('crossover with a period effect', () => {
    const finding = findingOf(drillTrial(smallTrial('crossover')));
    expect(finding.design.kind).toBe('crossover');
    expectAgreement(finding.estimates[0]!, small.crossover);
  });
  it('stepped start with calendar waves', () => {
    const finding = findingOf(drillTrial(smallTrial('stepped-start')));
    expect(finding.design.kind).toBe('stepped-start');
    expectAgreement(finding.estimates[0]!, small.stepped);
  });
});

describe('against published values (sources in published.json)', () => {
  const published = JSON.parse(
    readFileSync(new URL('../reference/repeated/published.json', import.meta.url), 'utf8'),
  );
  const plan: Plan = {
    study: 'drill-trial',
    question: 'Do the treatments change weight?',
    metric: { column: 'trail_elbow_flexion_top_deg' },
    arms: { control: 'Cont', drill: ['FT', 'CBT'] },
    smallestChangeThatMatters: { value: 3, why: 'a test' },
    goodDirection: 1,
  };

  it('gives the published covariance-adjusted effects of the before/after trial with a control', () => {
    const finding = findingOf(drillTrial(anorexiaTrial(), { plan }));
    for (const [arm, row] of [
      ['CBT', 2],
      ['FT', 3],
    ] as const) {
      const found = estimate(finding, 'effect', `'${arm}'`);
      const { Estimate: value, 'Std. Error': standardError } = published.anorexia_ancova.coef[row];
      const { '2.5 %': low, '97.5 %': high } = published.anorexia_ancova.ci[row];
      expect(Math.abs(found.value! / value - 1)).toBeLessThan(1e-6);
      expect(Math.abs(found.interval[0]! / low - 1)).toBeLessThan(1e-6);
      expect(Math.abs(found.interval[1]! / high - 1)).toBeLessThan(1e-6);
      expect(found.degreesOfFreedom).toBe(72 - 4);
      // The t quantile of 68 degrees of freedom, by scipy 1.17.1: stats.t.ppf(0.975, 68) = 1.9954689314298435
      expect((found.interval[1]! - found.value!) / 1.9954689314298435 / standardError).toBeCloseTo(1, 6);
    }
  });
  it('gives the published F of any difference among the arms', () => {
    const golfers = findingOf(drillTrial(anorexiaTrial(), { plan })).tables as {
      golfers: { golfer: string; arm: string; before: number; after: number }[];
    };
    const fitted = fitConditional(golfers.golfers, 'Cont', ['CBT', 'FT'], 0.95);
    if (typeof fitted === 'string') throw new Error(fitted);
    const { f, pValue } = fitted.fit.result.tests.find((test) => test.effect === 'arm')!;
    expect(Math.abs(f / published.anorexia_ancova.anova_F.Treat - 1)).toBeLessThan(1e-6);
    expect(Math.abs(pValue / published.anorexia_ancova.anova_F.pTreat - 1)).toBeLessThan(1e-6);
    expect(Math.abs(fitted.fit.result.residualSd / published.anorexia_ancova.sigma - 1)).toBeLessThan(1e-6);
  });
  it('gives the published change-score comparison as a sensitivity', () => {
    const finding = findingOf(drillTrial(anorexiaTrial(), { plan }));
    const scores = finding.sensitivity.find((entry) => entry.name === 'change scores')!.estimate!;
    const { Estimate: value } = published.anorexia_ancova.change_score[2];
    expect(Math.abs(scores.value! / value - 1)).toBeLessThan(1e-6);
  });
  it('gives the published paired difference for one group before and after', () => {
    const finding = findingOf(drillTrial(sleepTrial()));
    expect(finding.design.kind).toBe('before-after');
    const { mean, df, ci } = published.student_sleep;
    const [first] = finding.estimates;
    // The published difference is drug 1 minus drug 2; ours is after (2) minus before (1).
    expect(first!.value).toBeCloseTo(-mean, 9);
    expect(first!.interval[0]).toBeCloseTo(-ci[1], 8);
    expect(first!.interval[1]).toBeCloseTo(-ci[0], 8);
    expect(first!.degreesOfFreedom).toBe(df);
  });
});
