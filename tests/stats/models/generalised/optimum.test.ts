/**
 * Fits of small random designs of every kind and structure, against brute force: the log likelihood at what was
 * found is the oracle's, the oracle finds nothing better nearby, and standard errors are those of its Hessian.
 */
import { describe, expect, it } from 'vitest';
import { createStream } from '../../../../src/numerics/index.ts';
import { type Fit, type FitResult, fitModel } from '../../../../src/stats/index.ts';
import { invert } from '../dense-oracle.ts';
import { KINDS, type SmallDesign, STRUCTURES, smallDesign } from './designs.ts';
import { factorOf, oracleModel } from './from-fit.ts';
import { denseLaplace, integrated } from './oracle.ts';

function fitOf({ model, data, name }: SmallDesign): Fit {
  const outcome = fitModel(model, data, { predict: true });
  if (!outcome.ok) throw new Error(`${name}: ${JSON.stringify(outcome.problems)}`);
  return outcome.fit;
}

/** All parameters of a result in one list: coefficients, thresholds, and each term's factor (lower triangle). */
function listed(small: SmallDesign, result: FitResult) {
  const factors = result.random.map(({ sd, correlation }) => factorOf(sd, correlation));
  const places = factors.flatMap((factor, t) =>
    factor.flatMap((row, a) =>
      row.flatMap((_, c) =>
        c < a && small.model.random![t]!.covariance === 'diagonal' ? [] : c <= a ? [[t, a, c] as const] : [],
      ),
    ),
  );
  const p = result.fixed.length;
  const cuts = result.thresholds?.length ?? 0;
  const values = [
    ...result.fixed.map(({ estimate }) => estimate),
    ...(result.thresholds ?? []).map(({ estimate }) => estimate),
    ...places.map(([t, a, c]) => factors[t]![a]![c]!),
  ];
  const modelAt = (list: readonly number[]) => {
    const moved = factors.map((factor) => factor.map((row) => [...row]));
    places.forEach(([t, a, c], i) => {
      moved[t]![a]![c] = list[p + cuts + i]!;
    });
    return oracleModel(small, list.slice(0, p), list.slice(p, p + cuts), moved);
  };
  return { values, modelAt, p, cuts };
}

const cases = KINDS.flatMap((kind, k) =>
  STRUCTURES.map((structure, s) => [kind, structure, 7000 + 100 * k + s] as const),
);

describe('Laplace', () => {
  it.each(cases)('%s, %s', (kind, structure, seed) => {
    const small = smallDesign(kind, structure, seed);
    const { result } = fitOf(small);
    expect(result.diagnosis.converged).toBe(true);
    const { values, modelAt } = listed(small, result);
    const found = denseLaplace(modelAt(values)).logLikelihood;
    expect(result.logLikelihood).toBeCloseTo(found, 7);
    const stream = createStream(seed);
    for (let repeat = 0; repeat < 6; repeat++) {
      const size = 10 ** (-2 * stream.uniform());
      const nearby = values.map((value) => value + size * 0.5 * stream.normal());
      const at = denseLaplace(modelAt(nearby)).logLikelihood;
      // Thresholds out of order have no likelihood.
      if (!Number.isNaN(at)) expect(at).toBeLessThan(found + 1e-8);
    }
  });
});

/** Hessian of minus f by fourth-order differences of values. */
function hessianOf(f: (x: readonly number[]) => number, at: readonly number[], step: number): number[][] {
  const n = at.length;
  const moved = (i: number, a: number, j: number, b: number) =>
    -f(at.map((x, k) => x + (k === i ? a * step : 0) + (k === j ? b * step : 0)));
  const weights = [
    [-2, 1 / 12],
    [-1, -8 / 12],
    [1, 8 / 12],
    [2, -1 / 12],
  ] as const;
  const hessian = at.map(() => new Array<number>(n).fill(0));
  for (let i = 0; i < n; i++)
    for (let j = 0; j <= i; j++) {
      let sum = 0;
      for (const [a, wa] of weights) for (const [b, wb] of weights) sum += wa * wb * moved(i, a, j, b);
      hessian[i]![j] = sum / step ** 2;
      hessian[j]![i] = sum / step ** 2;
    }
  return hessian;
}

describe('standard errors are those of the whole Hessian, variances included', () => {
  it.each([
    ['binary', 'scalar', 1, 9007],
    ['ordinal', 'scalar', 1, 9000],
    ['count', 'slope', 1, 9004],
    ['trials', 'crossed', 1, 9000],
    ['binary', 'scalar', 15, 9007],
  ] as const)('%s, %s, %i nodes', (kind, structure, points, seed) => {
    // Seeds for which no variance is zero.
    const small = smallDesign(kind, structure, seed);
    const design = { ...small, model: { ...small.model, quadraturePoints: points } };
    const { result } = fitOf(design);
    expect(result.diagnosis.boundary).toEqual([]);
    const { values, modelAt, p, cuts } = listed(small, result);
    const logLikelihood = (x: readonly number[]) =>
      points > 1 ? integrated(modelAt(x)) : denseLaplace(modelAt(x)).logLikelihood;
    const { inverse } = invert(hessianOf(logLikelihood, values, 3e-3));
    const found = [...result.fixed, ...(result.thresholds ?? [])];
    for (let k = 0; k < p + cuts; k++)
      expect(Math.abs(found[k]!.standardError / Math.sqrt(inverse[k]![k]!) - 1)).toBeLessThan(
        points > 1 ? 1e-4 : 2e-6,
      );
  });
});

describe('predictions and combinations', () => {
  const small = smallDesign('count', 'crossed slopes', 9006);
  const fit = fitOf(small);
  const { values, modelAt } = listed(small, fit.result);
  const model = modelAt(values);
  const { b, hessian } = denseLaplace(model);
  const { inverse } = invert(hessian);
  /** u = L b and L H^-1 L' of one level of a term, by brute force. */
  const level = (t: number, l: number) => {
    const before = model.terms
      .slice(0, t)
      .reduce((sum, { levels, factor }) => sum + levels * factor.length, 0);
    const { factor } = model.terms[t]!;
    const q = factor.length;
    const first = before + l * q;
    const carried = (a: number, c: number) =>
      factor[a]!.reduce(
        (sum, x, i) =>
          sum + x * factor[c]!.reduce((inner, y, j) => inner + y * inverse[first + i]![first + j]!, 0),
        0,
      );
    return {
      modes: factor.map((row) => row.reduce((sum, x, c) => sum + x * b[first + c]!, 0)),
      covariance: factor.map((_, a) => factor.map((__, c) => carried(a, c))),
    };
  };

  it('modes and conditional covariances are those of the dense problem', () => {
    expect(fit.result.diagnosis.boundary).toEqual([]);
    fit.result.random.forEach(({ group }, t) => {
      fit.result
        .predictions!.filter((prediction) => prediction.group === group)
        .forEach(({ values: found, conditionalCovariance }, l) => {
          const { modes, covariance } = level(t, l);
          modes.forEach((mode, a) => {
            expect(found[a]!).toBeCloseTo(mode, 6);
            covariance[a]!.forEach((value, c) => {
              expect(conditionalCovariance[a]![c]!).toBeCloseTo(value, 6);
            });
          });
        });
    });
  });

  it('a contrast of fixed effects uses their covariance; a prediction adds the spread of the level', () => {
    const { fixed, covariance } = fit.result;
    const sum = fit.combine({ fixed: { intercept: 1, x: 2 } });
    expect(sum.estimate).toBeCloseTo(fixed[0]!.estimate + 2 * fixed[1]!.estimate, 12);
    expect(sum.standardError ** 2).toBeCloseTo(
      covariance[0]![0]! + 4 * covariance[0]![1]! + 4 * covariance[1]![1]!,
      10,
    );
    expect(sum.degreesOfFreedom).toBeNull();
    const alone = fit.combine({ fixed: {}, random: [{ group: 'h', level: 'h1', weights: { x: 1 } }] });
    const prediction = fit.result.predictions!.find(({ group, level: l }) => group === 'h' && l === 'h1')!;
    expect(alone.estimate).toBeCloseTo(prediction.values[0]!, 10);
    // Conditional variance plus what estimating the parameters adds.
    expect(alone.standardError).toBeGreaterThan(prediction.conditionalSd[0]!);
  });

  it('with random parts the variance is the conditional one plus d V d, d by refitting the modes', () => {
    const weights = { g: { intercept: 1, x: 0.5 } };
    const found = fit.combine({
      fixed: { intercept: 1, x: 0.5 },
      random: [{ group: 'g', level: 'g2', weights: weights.g }],
    });
    const target = (x: readonly number[]) => {
      const at = modelAt(x);
      const modes = denseLaplace(at).b;
      const u = at.terms[0]!.factor.map((row) => row.reduce((sum, y, c) => sum + y * modes[2 * 2 + c]!, 0));
      return x[0]! + 0.5 * x[1]! + u[0]! + 0.5 * u[1]!;
    };
    const step = 1e-4;
    const slope = values.map((_, k) => {
      const side = (by: number) => target(values.map((x, j) => (j === k ? x + by : x)));
      return (side(step) - side(-step)) / (2 * step);
    });
    const { inverse: spread } = invert(
      hessianOf((x) => denseLaplace(modelAt(x)).logLikelihood, values, 3e-3),
    );
    const parameters = slope.reduce(
      (sum, s, i) => sum + slope.reduce((inner, t, j) => inner + s * spread[i]![j]! * t, 0),
      0,
    );
    const { covariance } = level(0, 2);
    const conditional = covariance[0]![0]! + covariance[0]![1]! + 0.25 * covariance[1]![1]!;
    expect(found.estimate).toBeCloseTo(target(values), 6);
    expect(found.standardError).toBeCloseTo(Math.sqrt(conditional + parameters), 5);
  });

  it('thresholds can be combined: the log odds of a rating up to 2', () => {
    const rated = fitOf(smallDesign('ordinal', 'scalar', 9000));
    const { thresholds, fixed } = rated.result;
    const found = rated.combine({ fixed: { '2|3': 1, x: -1 } });
    expect(found.estimate).toBeCloseTo(thresholds![1]!.estimate - fixed[0]!.estimate, 12);
    expect(rated.combine({ fixed: { '2|3': 1 } }).standardError).toBeCloseTo(
      thresholds![1]!.standardError,
      12,
    );
  });

  it('names what it does not know', () => {
    expect(() => fit.combine({ fixed: { y: 1 } })).toThrow('combine: no fixed term y');
    expect(() => fit.combine({ fixed: {}, random: [{ group: 'k', level: 'k1', weights: {} }] })).toThrow(
      'no group k',
    );
    expect(() => fit.combine({ fixed: {}, random: [{ group: 'g', level: 'g9', weights: {} }] })).toThrow(
      'no level g9',
    );
    expect(() =>
      fit.combine({ fixed: {}, random: [{ group: 'g', level: 'g1', weights: { y: 1 } }] }),
    ).toThrow('y is not a random effect of g');
    expect(() => fit.combine({ fixed: { x: 1 } }, 2)).toThrow('between 0 and 1');
  });
});
