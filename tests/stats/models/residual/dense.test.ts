/**
 * Degrees of freedom, predictions and the optimum itself against whole n x n matrices (../dense-oracle.ts) and
 * numerical derivatives of the deviance in its natural parameters: nothing of the engine is used.
 */
import { describe, expect, it } from 'vitest';
import { createStream, type Stream } from '../../../../src/numerics/index.ts';
import { type DataColumns, type Fit, fitModel, type Model } from '../../../../src/stats/index.ts';
import { denseDeviance, invert, type Matrix, times, transpose } from '../dense-oracle.ts';
import { relative } from '../golden.ts';

interface Simulated {
  readonly data: DataColumns;
  readonly group: readonly number[];
  readonly step: readonly number[];
  readonly kind: readonly number[];
  readonly x: Matrix;
  readonly y: number[];
}

/** Unbalanced groups with steps missing, AR1 residuals, and one kind of row twice as scattered as the other. */
function simulate(stream: Stream, groups: number, steps: number): Simulated {
  const group: number[] = [];
  const step: number[] = [];
  const kind: number[] = [];
  const x: Matrix = [];
  const y: number[] = [];
  for (let g = 0; g < groups; g++) {
    const own = 1.5 * stream.normal();
    let e = stream.normal();
    for (let t = 1; t <= steps; t++) {
      e = 0.5 * e + Math.sqrt(0.75) * stream.normal();
      if (stream.uniform() < 0.2) continue;
      const k = stream.uniform() < 0.5 ? 1 : 0;
      const value = stream.normal();
      group.push(g);
      step.push(t);
      kind.push(k);
      x.push([1, value, k]);
      y.push(10 + 0.7 * value + own + (k === 1 ? 2 : 1) * e);
    }
  }
  const data = {
    y,
    x: x.map((row) => row[1]!),
    group: group.map((g) => `g${g}`),
    step,
    kind: kind.map((k) => (k === 1 ? 'wild' : 'calm')),
  };
  return { data, group, step, kind, x, y };
}

const model: Model = {
  outcome: 'y',
  fixed: ['intercept', { column: 'x' }, { column: 'kind', levels: ['calm', 'wild'] }],
  random: [{ group: 'group', effects: ['intercept'] }],
  residual: { variance: { by: 'kind' }, correlation: { kind: 'ar1', group: 'group', order: 'step' } },
};

/** Natural parameters: SD between groups, SD of calm residuals, their ratio, autocorrelation. */
function covarianceAt({ group, step, kind }: Simulated, [between, sd, ratio, rho]: number[]): Matrix {
  return group.map((g, i) =>
    group.map((h, j) =>
      g !== h
        ? 0
        : between! ** 2 + sd! ** 2 * ratio! ** (kind[i]! + kind[j]!) * rho! ** Math.abs(step[i]! - step[j]!),
    ),
  );
}

const slope = (f: (t: number) => number, h: number): number =>
  (8 * (f(h) - f(-h)) - (f(2 * h) - f(-2 * h))) / (12 * h);
const moved = (at: readonly number[], i: number, by: number): number[] =>
  at.map((value, j) => (j === i ? value + by : value));

function fitOf(data: DataColumns, extra: Partial<Model> = {}): Fit {
  const outcome = fitModel({ ...model, ...extra }, data);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  expect(outcome.fit.result.diagnosis.converged).toBe(true);
  return outcome.fit;
}
const naturalOf = ({ result }: Fit): number[] => [
  result.random[0]!.sd[0]!,
  result.residualSd,
  ...result.residualParameters!.map(({ estimate }) => estimate),
];

describe.each(['reml', 'ml'] as const)('against dense matrices, %s', (criterion) => {
  const simulated = simulate(createStream(41), 7, 9);
  const { x, y, data } = simulated;
  const fit = fitOf(data, { criterion });
  const at = naturalOf(fit);
  const deviance = (parameters: number[]) =>
    denseDeviance(x, y, covarianceAt(simulated, parameters), criterion === 'reml');
  const here = deviance(at);

  it('the deviance and its flatness in every natural parameter', () => {
    expect(Math.abs(fit.result.criterion.value - here.value)).toBeLessThan(1e-9);
    at.forEach((_, i) => {
      expect(Math.abs(slope((t) => deviance(moved(at, i, t)).value, 1e-3))).toBeLessThan(1e-6);
    });
    here.beta.forEach((b, i) => {
      expect(relative(fit.result.fixed[i]!.estimate, b)).toBeLessThan(1e-9);
      expect(relative(fit.result.covariance[i]![i]!, here.phi[i]![i]!)).toBeLessThan(1e-8);
    });
    const k = at.length;
    expect(fit.result.aic).toBeCloseTo(here.value + 2 * (3 + k), 8);
    expect(fit.result.bic).toBeCloseTo(here.value + (3 + k) * Math.log(y.length), 8);
  });

  // Twice the inverse of the numerical Hessian in the natural parameters.
  const hessian = at.map((_, i) =>
    at.map((__, j) => slope((s) => slope((t) => deviance(moved(moved(at, i, t), j, s)).value, 2e-3), 2e-3)),
  );
  const spread = invert(hessian).inverse.map((row) => row.map((value) => 2 * value));
  const degreesOf = (f: (parameters: number[]) => number): number => {
    const gradient = at.map((_, i) => slope((t) => f(moved(at, i, t)), 1e-3));
    let variance = 0;
    gradient.forEach((a, i) => {
      gradient.forEach((b, j) => {
        variance += a * spread[i]![j]! * b;
      });
    });
    return (2 * f(at) ** 2) / variance;
  };
  it('Satterthwaite degrees of freedom with the residual parameters among the estimated', () => {
    fit.result.fixed.forEach(({ degreesOfFreedom }, i) => {
      expect(
        relative(
          degreesOfFreedom!,
          degreesOf((p) => deviance(p).phi[i]![i]!),
        ),
      ).toBeLessThan(1e-5);
    });
  });
  it('standard errors of the residual parameters', () => {
    fit.result.residualParameters!.forEach(({ standardError }, i) => {
      // Carried from the scale of the search by its slope, which at the optimum gives the same curvature.
      expect(relative(standardError!, Math.sqrt(spread[2 + i]![2 + i]!))).toBeLessThan(1e-5);
    });
  });
  it('a prediction for one group: value, error and degrees of freedom', () => {
    const asked = 2;
    const weights = [1, 0.5, 0];
    const found = fit.combine({
      fixed: { intercept: 1, x: 0.5 },
      random: [{ group: 'group', level: 'g2', weights: { intercept: 1 } }],
    });
    // Prediction error variance k'Phi k + between^2 - c'V^-1 c, k = weights - X'V^-1 c, c = Cov(y, group's effect).
    const parts = (parameters: number[]) => {
      const { inverse, phi, beta } = deviance(parameters);
      const c = simulated.group.map((g) => [g === asked ? parameters[0]! ** 2 : 0]);
      const carried = times(inverse, c);
      const k = weights.map((w, a) => w - times(transpose(x), carried)[a]![0]!);
      const residual = y.map((value, i) => value - x[i]!.reduce((sum, v, a) => sum + v * beta[a]!, 0));
      const value =
        weights.reduce((sum, w, a) => sum + w * beta[a]!, 0) +
        carried.reduce((sum, row, i) => sum + row[0]! * residual[i]!, 0);
      let variance = parameters[0]! ** 2 - carried.reduce((sum, row, i) => sum + row[0]! * c[i]![0]!, 0);
      k.forEach((a, i) => {
        k.forEach((b, j) => {
          variance += a * phi[i]![j]! * b;
        });
      });
      return { value, variance };
    };
    const { value, variance } = parts(at);
    expect(relative(found.estimate, value)).toBeLessThan(1e-9);
    expect(relative(found.standardError ** 2, variance)).toBeLessThan(1e-8);
    expect(
      relative(
        found.degreesOfFreedom!,
        degreesOf((p) => parts(p).variance),
      ),
    ).toBeLessThan(1e-4);
  });
});

describe('what must not matter', () => {
  const { data } = simulate(createStream(12), 8, 8);
  const plain = fitOf(data).result;
  const length = data.y!.length;
  it('the order of the rows and the names of the groups', () => {
    const shuffled = createStream(3).shuffle(Array.from({ length }, (_, i) => i));
    const turned = Object.fromEntries(
      Object.entries(data).map(([name, column]) => [name, shuffled.map((i) => column[i]!)]),
    );
    const renamed = Array.from(turned.group as string[], (name) => `z${9 - Number(name.slice(1))}`);
    const { result } = fitOf({ ...turned, group: renamed });
    expect(Math.abs(result.logLikelihood - plain.logLikelihood)).toBeLessThan(1e-8);
    result.residualParameters!.forEach(({ estimate }, i) => {
      expect(relative(estimate, plain.residualParameters![i]!.estimate)).toBeLessThan(1e-6);
    });
  });
  it('the origin of the steps, and the unit of the outcome but for its scale', () => {
    const step = Array.from(data.step!, (t) => Number(t) - 1000);
    const y = Array.from(data.y!, (value) => 1e4 * Number(value) - 3e5);
    const { result } = fitOf({ ...data, step, y });
    expect(relative(result.residualSd, 1e4 * plain.residualSd)).toBeLessThan(1e-6);
    expect(relative(result.fixed[1]!.estimate, 1e4 * plain.fixed[1]!.estimate)).toBeLessThan(1e-6);
    result.residualParameters!.forEach(({ estimate }, i) => {
      expect(relative(estimate, plain.residualParameters![i]!.estimate)).toBeLessThan(1e-6);
    });
  });
});
