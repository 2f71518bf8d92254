/** Published worked example, planted truth over many cohorts, and requests that cannot be fitted. */
import { describe, expect, it } from 'vitest';
import { createStream } from '../../../../src/numerics/index.ts';
import { fitDocument, fitModel, type Model } from '../../../../src/stats/index.ts';
import { relative } from '../golden.ts';
import { cohort, splitModel, TRUTH } from './cohorts.ts';

describe('Fuller (1987), Measurement Error Models, section 1.2, example 1.2.1: corn yield on soil nitrogen', () => {
  // Data and results from memory of table 1.2.1; the moments the book prints (304.8545, 104.8818, 87.6727) agree
  // with these data and are recomputed below. Known error variance 57.
  const nitrogen = [70, 97, 53, 64, 95, 64, 50, 70, 94, 69, 51];
  const corn = [86, 115, 90, 86, 110, 91, 99, 96, 99, 104, 96];
  const mean = (values: readonly number[]) => values.reduce((sum, v) => sum + v, 0) / values.length;
  const moment = (a: readonly number[], b: readonly number[]) =>
    a.reduce((sum, v, i) => sum + (v - mean(a)) * (b[i]! - mean(b)), 0) / (a.length - 1);
  const outcome = fitModel(
    {
      outcome: 'corn',
      fixed: ['intercept', { column: 'nitrogen' }],
      errorSd: { nitrogen: Math.sqrt(57) },
    },
    { corn, nitrogen },
  );
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  const { fixed, predictorError } = outcome.fit.result;
  it('the printed moments', () => {
    expect(moment(nitrogen, nitrogen)).toBeCloseTo(304.8545, 4);
    expect(moment(nitrogen, corn)).toBeCloseTo(104.8818, 4);
    expect(moment(corn, corn)).toBeCloseTo(87.6727, 4);
  });
  it('the printed slope, intercept and variance of the true values, and to ten digits the formula', () => {
    expect(fixed[1]!.estimate).toBeCloseTo(0.4232, 4);
    expect(fixed[0]!.estimate).toBeCloseTo(67.56, 2);
    const slope = moment(nitrogen, corn) / (moment(nitrogen, nitrogen) - 57);
    expect(relative(fixed[1]!.estimate, slope)).toBeLessThan(1e-9);
    expect(relative(predictorError!.trueSd ** 2, moment(nitrogen, nitrogen) - 57)).toBeLessThan(1e-8);
    expect(relative(predictorError!.reliability, 1 - 57 / moment(nitrogen, nitrogen))).toBeLessThan(1e-8);
  });
  it('the printed standard errors 0.1745 and 12.54 to half a percent: there by the delta method, here from curvature', () => {
    expect(relative(fixed[1]!.standardError, 0.1745)).toBeLessThan(0.005);
    expect(relative(fixed[0]!.standardError, 12.54)).toBeLessThan(0.005);
  });
});

describe('planted truth', () => {
  it('comes back without attenuation in both parts; ignoring the error shrinks the slope inside groups', () => {
    const cohorts = 10;
    const found: number[][] = [[], [], []];
    const ignored: number[] = [];
    let covered = 0;
    for (let c = 0; c < cohorts; c++) {
      const data = cohort(createStream(2024).sub(c), 24, 6);
      const corrected = fitModel({ ...splitModel, errorSd: { x: 'e' } }, { ...data });
      const naive = fitModel(splitModel, { ...data });
      if (!corrected.ok || !naive.ok) throw new Error('expected fits');
      expect(corrected.fit.result.diagnosis.converged).toBe(true);
      const { fixed } = corrected.fit.result;
      [TRUTH.z, TRUTH.within, TRUTH.between].forEach((truth, i) => {
        const { estimate, interval } = fixed[i + 1]!;
        found[i]!.push(estimate);
        if (interval[0] <= truth && truth <= interval[1]) covered++;
      });
      ignored.push(naive.fit.result.fixed[2]!.estimate);
    }
    const mean = (values: readonly number[]) => values.reduce((sum, v) => sum + v, 0) / values.length;
    const error = (values: readonly number[]) =>
      Math.sqrt(values.reduce((sum, v) => sum + (v - mean(values)) ** 2, 0) / (cohorts - 1) / cohorts);
    // Three Monte Carlo standard errors.
    [TRUTH.z, TRUTH.within, TRUTH.between].forEach((truth, i) => {
      expect(Math.abs(mean(found[i]!) - truth)).toBeLessThan(3 * error(found[i]!));
    });
    // Reliability inside groups is about 0.63: the ordinary slope is far from 0.8.
    expect(mean(ignored)).toBeLessThan(TRUTH.within - 10 * error(ignored));
    // 30 intervals at 95 %: fewer than 24 would be seen less than once in five hundred times.
    expect(covered).toBeGreaterThanOrEqual(24);
  }, 60_000);
});

describe('requests that cannot be fitted', () => {
  const data = cohort(createStream(9), 6, 5);
  const columns = {
    ...data,
    h: data.g.map((g) => (g < 'g3' ? 'a' : 'b')),
    i: data.g.map((_, i) => `r${i % 5}`),
  };
  const refused = (extra: Partial<Record<keyof Model, unknown>>) => {
    const outcome = fitDocument({ ...splitModel, ...extra }, columns, { predict: false });
    if (outcome.ok) throw new Error('expected a refusal');
    return outcome.problems.map(({ kind, where }) => `${kind} ${where}`);
  };
  const x = { column: 'x' };
  it.each([
    [{ errorSd: { x: 5 } }, ['bad-model /errorSd/x']],
    [{ errorSd: { x: -1 } }, ['bad-model /errorSd/x']],
    [{ errorSd: { x: 'sd' } }, ['unknown-column /errorSd/x']],
    [{ errorSd: { x: 'y', z: 1 } }, ['not-available /errorSd']],
    [{ errorSd: { h: 1 } }, ['bad-model /errorSd/h']],
    [{ errorSd: { x: 0.5 }, fixed: [x] }, ['not-available /fixed']],
    [
      { errorSd: { x: 0.5 }, fixed: ['intercept', x, { column: 'x', power: 2 }, { product: ['x', 'z'] }] },
      ['not-available /fixed/2', 'not-available /fixed/3'],
    ],
    [
      { errorSd: { x: 0.5 }, fixed: ['intercept', x], random: [{ group: 'g', effects: ['intercept', 'x'] }] },
      ['not-available /random/0/effects/1'],
    ],
    [
      {
        errorSd: { x: 0.5 },
        fixed: ['intercept', x],
        random: [
          { group: 'g', effects: ['intercept'] },
          { group: 'i', effects: ['intercept'] },
        ],
      },
      ['not-available /random'],
    ],
    [
      { errorSd: { x: 0.5 }, fixed: ['intercept', { column: 'x', within: 'i' }] },
      ['not-available /errorSd/x'],
    ],
    [
      { errorSd: { x: 0.5 }, inference: { degreesOfFreedom: 'kenward-roger' } },
      ['not-available /inference/degreesOfFreedom'],
    ],
    [
      { errorSd: { x: 0.5 }, random: [], inference: { robust: { kind: 'hc3' } } },
      ['not-available /inference/robust'],
    ],
    [{ errorSd: { x: 0.5 }, residual: { variance: { by: 'h' } } }, ['not-available /residual']],
  ])('%j', (extra, expected) => {
    expect(refused(extra)).toEqual(expected);
  });
  it('an error larger than the column: both SDs are said', () => {
    const outcome = fitDocument({ ...splitModel, errorSd: { x: 5 } }, columns, { predict: false });
    expect(outcome).toMatchObject({
      ok: false,
      problems: [
        { found: expect.stringMatching(/measurement SD of 5 where x itself varies with an SD of [12]\.\d+/) },
      ],
    });
  });
});
