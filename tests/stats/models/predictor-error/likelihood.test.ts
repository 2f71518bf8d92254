/**
 * The joint likelihood of outcome and measured predictor against one whole covariance matrix of both (2n x 2n,
 * ../dense-oracle.ts), which is written from the model's statement and knows nothing of conditional means; and the
 * ordinary model where the measurement error is nothing.
 */
import { describe, expect, it } from 'vitest';
import { createStream } from '../../../../src/numerics/index.ts';
import { type FitResult, fitModel, type Model } from '../../../../src/stats/index.ts';
import { denseDeviance, type Matrix, times, transpose, zeros } from '../dense-oracle.ts';
import { relative } from '../golden.ts';
import { type Cohort, cohort, splitModel } from './cohorts.ts';

const data = cohort(createStream(77), 8, 5);
const plainModel: Model = {
  ...splitModel,
  fixed: ['intercept', { column: 'z' }, { column: 'x' }],
};
function fitted(model: Model, columns: Cohort = data): FitResult {
  const outcome = fitModel(model, { ...columns }, { predict: true });
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  expect(outcome.fit.result.diagnosis.converged).toBe(true);
  return outcome.fit.result;
}

/** Natural parameters: slope on deviations and on means, SDs of truth inside and between, of groups, of residuals. */
function denseJoint({ x, y, z, g, e }: Cohort, at: readonly number[]) {
  const [onDeviation, onMean, within, between, own, residual] = at as [
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  const n = y.length;
  const same = (i: number, j: number) => (g[i] === g[j] ? 1 : 0);
  const size = (i: number) => g.filter((other) => other === g[i]).length;
  const truth: Matrix = y.map((_, i) =>
    y.map((__, j) => between ** 2 * same(i, j) + (i === j ? within ** 2 : 0)),
  );
  const slope: Matrix = y.map((_, i) =>
    y.map((__, j) => (i === j ? onDeviation : 0) + ((onMean - onDeviation) * same(i, j)) / size(i)),
  );
  const cross = times(truth, transpose(slope));
  const through = times(slope, cross);
  const v = zeros(2 * n, 2 * n);
  for (let i = 0; i < n; i++)
    for (let j = 0; j < n; j++) {
      v[i]![j] = truth[i]![j]! + (i === j ? e[i]! ** 2 : 0);
      v[i]![n + j] = cross[i]![j]!;
      v[n + j]![i] = cross[i]![j]!;
      v[n + i]![n + j] = through[i]![j]! + own ** 2 * same(i, j) + (i === j ? residual ** 2 : 0);
    }
  const Z: Matrix = z.map((value) => [1, value]);
  const carried = times(slope, Z);
  const design: Matrix = [...Z.map((row) => [...row, 0, 0]), ...Z.map((row, i) => [...carried[i]!, ...row])];
  return denseDeviance(design, [...x, ...y], v, false);
}

const naturalOf = (result: FitResult): number[] => {
  const slopes = result.fixed.slice(2).map(({ estimate }) => estimate);
  const { trueSd, trueSdBetween } = result.predictorError!;
  return [slopes[0]!, slopes.at(-1)!, trueSd, trueSdBetween!, result.random[0]!.sd[0]!, result.residualSd];
};

describe.each([
  ['split into within and between', splitModel],
  ['as it stands', plainModel],
])('maximum likelihood with the predictor %s', (_, model) => {
  const result = fitted({ ...model, errorSd: { x: 'e' }, criterion: 'ml' });
  const at = naturalOf(result);
  it('is the dense joint likelihood, at its top', () => {
    const { value, beta } = denseJoint(data, at);
    expect(Math.abs(result.criterion.value - value)).toBeLessThan(1e-8);
    expect(relative(result.fixed[0]!.estimate, beta[2]!)).toBeLessThan(1e-8);
    expect(relative(result.fixed[1]!.estimate, beta[3]!)).toBeLessThan(1e-8);
    const free = model === splitModel ? at.map((__, i) => [i]) : [[0, 1], [2], [3], [4], [5]];
    for (const together of free) {
      const moved = (by: number) =>
        denseJoint(
          data,
          at.map((value, i) => (together.includes(i) ? value + by : value)),
        ).value;
      const slope = (8 * (moved(1e-3) - moved(-1e-3)) - (moved(2e-3) - moved(-2e-3))) / 12e-3;
      expect(Math.abs(slope)).toBeLessThan(1e-5);
    }
  });
  it('counts every parameter of both columns', () => {
    // Two means of the predictor's regression; SDs of truth inside and between, of groups, of residuals.
    const count = result.fixed.length + 2 + 4;
    expect(result.aic).toBeCloseTo(result.criterion.value + 2 * count, 9);
    expect(result.bic).toBeCloseTo(result.criterion.value + count * Math.log(data.y.length), 9);
  });
});

describe('standard errors', () => {
  it('are the curvature of the dense likelihood in all parameters at once', () => {
    const result = fitted({ ...splitModel, errorSd: { x: 'e' }, criterion: 'ml' });
    const at = naturalOf(result);
    const h = 4e-3;
    const value = (shift: (i: number) => number) =>
      denseJoint(
        data,
        at.map((entry, i) => entry + shift(i)),
      ).value;
    const hessian = at.map((_, a) =>
      at.map((__, b) => {
        const bend = (s: number) =>
          (value((i) => s * ((i === a ? h : 0) + (i === b ? h : 0))) -
            value((i) => s * ((i === a ? h : 0) - (i === b ? h : 0))) -
            value((i) => s * ((i === b ? h : 0) - (i === a ? h : 0))) +
            value((i) => -s * ((i === a ? h : 0) + (i === b ? h : 0)))) /
          (4 * s * s * h * h);
        return (4 * bend(1) - bend(2)) / 3;
      }),
    );
    // The mean parameters are at their best everywhere, so the inverse holds the slopes' full variances.
    const inverse = invertSmall(hessian);
    [2, 3].forEach((index, i) => {
      expect(relative(result.fixed[index]!.standardError ** 2, 2 * inverse[i]![i]!)).toBeLessThan(1e-4);
    });
  });
});

function invertSmall(a: Matrix): Matrix {
  const n = a.length;
  const out = zeros(n, n);
  for (let j = 0; j < n; j++) {
    const rows = a.map((row, i) => [...row, i === j ? 1 : 0]);
    for (let c = 0; c < n; c++) {
      const pivot = rows
        .slice(c)
        .reduce((best, row, i) => (Math.abs(row[c]!) > Math.abs(rows[best]![c]!) ? c + i : best), c);
      [rows[c], rows[pivot]] = [rows[pivot]!, rows[c]!];
      for (let r = 0; r < n; r++) {
        if (r === c) continue;
        const factor = rows[r]![c]! / rows[c]![c]!;
        for (let l = c; l <= n; l++) rows[r]![l]! -= factor * rows[c]![l]!;
      }
    }
    for (let i = 0; i < n; i++) out[i]![j] = rows[i]![n]! / rows[i]![i]!;
  }
  return out;
}

describe.each(['reml', 'ml'] as const)(
  'without measurement error it is the ordinary model, %s',
  (criterion) => {
    it.each([
      ['split', splitModel],
      ['as it stands', plainModel],
    ])('%s', (_, model) => {
      const ordinary = fitted({ ...model, criterion });
      const zero = fitted({ ...model, criterion, errorSd: { x: 0 } });
      // The predictor's own model, fitted by the ordinary engine, is the rest of the joint likelihood.
      const predictor = fitModel(
        {
          outcome: 'x',
          fixed: ['intercept', { column: 'z' }],
          random: [{ group: 'g', effects: ['intercept'] }],
          criterion,
        },
        { ...data },
      );
      if (!predictor.ok) throw new Error('expected a fit');
      expect(
        Math.abs(zero.logLikelihood - ordinary.logLikelihood - predictor.fit.result.logLikelihood),
      ).toBeLessThan(1e-7);
      expect(relative(zero.predictorError!.trueSd, predictor.fit.result.residualSd)).toBeLessThan(1e-6);
      zero.fixed.forEach(({ estimate, degreesOfFreedom }, i) => {
        expect(relative(estimate, ordinary.fixed[i]!.estimate)).toBeLessThan(1e-7);
        expect(relative(degreesOfFreedom!, ordinary.fixed[i]!.degreesOfFreedom!)).toBeLessThan(1e-5);
      });
      expect(relative(zero.residualSd, ordinary.residualSd)).toBeLessThan(1e-7);
      expect(relative(zero.random[0]!.sd[0]!, ordinary.random[0]!.sd[0]!)).toBeLessThan(1e-6);
      zero.predictions!.forEach(({ level, values, conditionalSd }, i) => {
        expect(level).toBe(ordinary.predictions![i]!.level);
        expect(Math.abs(values[0]! - ordinary.predictions![i]!.values[0]!)).toBeLessThan(1e-6);
        expect(relative(conditionalSd[0]!, ordinary.predictions![i]!.conditionalSd[0]!)).toBeLessThan(1e-5);
      });
    });
  },
);
