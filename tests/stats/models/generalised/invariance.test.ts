/** What must not matter does not, and what must change changes as it should. */
import { describe, expect, it } from 'vitest';
import { createStream } from '../../../../src/numerics/index.ts';
import { type FitResult, fitModel, type Model } from '../../../../src/stats/index.ts';
import { relative } from '../golden.ts';
import { KINDS, outcome, smallDesign } from './designs.ts';

type Data = Readonly<Record<string, number[] | string[]>>;

function resultOf(model: Model, data: Data): FitResult {
  const fitted = fitModel(model, data);
  if (!fitted.ok) throw new Error(JSON.stringify(fitted.problems));
  return fitted.fit.result;
}

const mapped = (data: Data, name: string, f: (value: number) => number): Data => ({
  ...data,
  [name]: data[name]!.map((value) => f(Number(value))),
});

describe.each(KINDS.map((kind, k) => [kind, smallDesign(kind, 'crossed slopes', 300 + k)] as const))(
  '%s',
  (_, { model, data }) => {
    const plain = resultOf(model, data);
    const at = (result: FitResult, term: string) => result.fixed.find((row) => row.term === term)!;

    it('the order of the rows', () => {
      const order = data.y!.map((__, i) => i).sort((a, b) => ((a * 37) % 53) - ((b * 37) % 53));
      const shuffled = Object.fromEntries(
        Object.entries(data).map(([name, column]) => [name, order.map((i) => column[i]!)]),
      ) as Data;
      const result = resultOf(model, shuffled);
      expect(result.logLikelihood).toBeCloseTo(plain.logLikelihood, 8);
      plain.fixed.forEach(({ term, estimate, standardError }) => {
        expect(at(result, term).estimate).toBeCloseTo(estimate, 6);
        expect(relative(at(result, term).standardError, standardError)).toBeLessThan(1e-5);
      });
    });

    it('the names of the levels', () => {
      const renamed = { ...data, g: data.g!.map((name) => `z${9 - Number(String(name).slice(1))}`) } as Data;
      const result = resultOf(model, renamed);
      expect(result.logLikelihood).toBeCloseTo(plain.logLikelihood, 8);
      plain.random.forEach(({ sd }, t) => {
        sd.forEach((value, e) => {
          expect(result.random[t]!.sd[e]!).toBeCloseTo(value, 5);
        });
      });
    });

    it('the scale of a column, its slopes fixed and random included', () => {
      const result = resultOf(
        model,
        mapped(data, 'x', (value) => 1e6 * value),
      );
      expect(result.logLikelihood).toBeCloseTo(plain.logLikelihood, 8);
      expect(relative(1e6 * at(result, 'x').estimate, at(plain, 'x').estimate)).toBeLessThan(1e-5);
      expect(relative(1e6 * at(result, 'x').standardError, at(plain, 'x').standardError)).toBeLessThan(1e-5);
      expect(1e6 * result.random[0]!.sd[1]!).toBeCloseTo(plain.random[0]!.sd[1]!, 5);
      expect(at(result, 'arm=drill').estimate).toBeCloseTo(at(plain, 'arm=drill').estimate, 6);
    });
  },
);

describe('the origin of a column', () => {
  // A random slope alone depends on where zero is; with the intercept beside it, it does not.
  it.each(KINDS)('%s', (kind) => {
    const { model, data } = smallDesign(kind, 'slope', 320);
    const plain = resultOf(model, data);
    const moved = resultOf(
      model,
      mapped(data, 'x', (value) => value + 1000),
    );
    expect(moved.logLikelihood).toBeCloseTo(plain.logLikelihood, 6);
    expect(moved.fixed.at(-2)!.estimate).toBeCloseTo(plain.fixed.at(-2)!.estimate, 5);
    const { thresholds } = plain;
    if (thresholds)
      thresholds.forEach(({ estimate }, k) => {
        expect(moved.thresholds![k]!.estimate - 1000 * moved.fixed[0]!.estimate).toBeCloseTo(estimate, 4);
      });
    else
      expect(moved.fixed[0]!.estimate + 1000 * moved.fixed[1]!.estimate).toBeCloseTo(
        plain.fixed[0]!.estimate,
        4,
      );
  });
});

describe('forms of the same model', () => {
  it('two categories are a yes/no outcome whose intercept is minus the threshold', () => {
    const { data } = smallDesign('binary', 'scalar', 9007);
    const random = [{ group: 'g', effects: ['intercept'] as const }];
    for (const quadraturePoints of [1, 9]) {
      const binary = resultOf(
        {
          outcome: 'y',
          distribution: 'binary',
          fixed: ['intercept', { column: 'x' }],
          random,
          quadraturePoints,
        },
        data,
      );
      const ordinal = resultOf(
        { outcome: 'y', distribution: 'ordinal', fixed: [{ column: 'x' }], random, quadraturePoints },
        data,
      );
      expect(ordinal.logLikelihood).toBeCloseTo(binary.logLikelihood, 9);
      expect(ordinal.thresholds![0]!.estimate).toBeCloseTo(-binary.fixed[0]!.estimate, 7);
      expect(ordinal.thresholds![0]!.standardError).toBeCloseTo(binary.fixed[0]!.standardError, 6);
      expect(ordinal.fixed[0]!.estimate).toBeCloseTo(binary.fixed[1]!.estimate, 7);
      expect(ordinal.random[0]!.sd[0]!).toBeCloseTo(binary.random[0]!.sd[0]!, 7);
    }
  });

  it('trials row by row: the same estimates; the likelihood differs by the binomial coefficients alone', () => {
    const { model, data } = smallDesign('trials', 'scalar', 331);
    const rows: { g: string[]; x: number[]; arm: string[]; y: number[] } = { g: [], x: [], arm: [], y: [] };
    let constant = 0;
    data.y!.forEach((successes, i) => {
      const n = Number(data.n![i]);
      for (let k = 0; k < n; k++) {
        rows.g.push(String(data.g![i]));
        rows.x.push(Number(data.x![i]));
        rows.arm.push(String(data.arm![i]));
        rows.y.push(k < Number(successes) ? 1 : 0);
        constant += Math.log(k + 1);
      }
      for (let k = 1; k <= Number(successes); k++) constant -= Math.log(k);
      for (let k = 1; k <= n - Number(successes); k++) constant -= Math.log(k);
    });
    const { trials: _, ...single } = model;
    const whole = resultOf(model, data);
    const split = resultOf(single, { ...rows });
    expect(whole.logLikelihood - split.logLikelihood).toBeCloseTo(constant, 7);
    whole.fixed.forEach(({ estimate, standardError }, k) => {
      expect(split.fixed[k]!.estimate).toBeCloseTo(estimate, 6);
      expect(split.fixed[k]!.standardError).toBeCloseTo(standardError, 6);
    });
  });

  it('an offset shifts what it stands for', () => {
    const { model, data } = smallDesign('count', 'scalar', 332);
    const plain = resultOf(model, data);
    const shifted = resultOf(
      { ...model, offset: 'o' },
      { ...data, o: data.x!.map((value) => 2 * Number(value) + 1) },
    );
    expect(shifted.logLikelihood).toBeCloseTo(plain.logLikelihood, 8);
    expect(shifted.fixed[0]!.estimate).toBeCloseTo(plain.fixed[0]!.estimate - 1, 6);
    expect(shifted.fixed[1]!.estimate).toBeCloseTo(plain.fixed[1]!.estimate - 2, 6);
  });

  it('without any difference between groups: the variance is exactly zero, in words, and the fit the one without it', () => {
    // Every group holds the same rows, so groups differ less than chance alone would make them.
    const x = Array.from({ length: 48 }, (_, i) => (i % 8) - 3.5);
    const y = x.map((_, i) => [0, 1, 0, 0, 1, 1, 0, 1][i % 8]!);
    const g = x.map((_, i) => `g${Math.floor(i / 8)}`);
    for (const [distribution, quadraturePoints] of [
      ['binary', 1],
      ['binary', 7],
      ['count', 1],
    ] as const) {
      const base: Model = { outcome: 'y', distribution, fixed: ['intercept', { column: 'x' }] };
      const alone = resultOf(base, { x, y, g });
      const { random, ...mixed } = resultOf(
        { ...base, random: [{ group: 'g', effects: ['intercept'] }], quadraturePoints },
        { x, y, g },
      );
      expect(random[0]!.sd).toEqual([0]);
      expect(mixed.diagnosis.boundary).toHaveLength(1);
      expect(mixed.diagnosis.converged).toBe(true);
      expect(mixed.logLikelihood).toBeCloseTo(alone.logLikelihood, 9);
      alone.fixed.forEach(({ standardError }, k) => {
        expect(relative(mixed.fixed[k]!.standardError, standardError)).toBeLessThan(1e-7);
      });
    }
  });
});

describe('planted truth is found again', () => {
  const TRUTH = { intercept: -0.5, x: 0.8, sd: 1 };
  /**
   * Maximum likelihood of a variance from 60 groups is low by about 1 / 60 of itself, and Laplace's approximation of
   * yes/no rows a little more (Breslow and Lin (1995), Biometrika 82, 81-91), so quadrature is used there and the SD is
   * allowed 0.03; means over 20 data sets then lie within three of their own standard errors.
   */
  it.each([
    ['binary', 11],
    ['count', 1],
  ] as const)('%s', (kind, quadraturePoints) => {
    const found = { intercept: [] as number[], x: [] as number[], sd: [] as number[], covered: 0 };
    const datasets = 20;
    for (let seed = 0; seed < datasets; seed++) {
      const stream = createStream(4000 + seed);
      const data: { g: string[]; x: number[]; y: number[] } = { g: [], x: [], y: [] };
      for (let group = 0; group < 60; group++) {
        const u = TRUTH.sd * stream.normal();
        for (let r = 0; r < 10; r++) {
          const x = stream.normal();
          data.g.push(`g${group}`);
          data.x.push(x);
          data.y.push(outcome(kind, TRUTH.intercept + TRUTH.x * x + u, 1, stream));
        }
      }
      const { fixed, random } = resultOf(
        {
          outcome: 'y',
          distribution: kind,
          fixed: ['intercept', { column: 'x' }],
          random: [{ group: 'g', effects: ['intercept'] }],
          quadraturePoints,
        },
        data,
      );
      found.intercept.push(fixed[0]!.estimate);
      found.x.push(fixed[1]!.estimate);
      found.sd.push(random[0]!.sd[0]!);
      if (fixed[1]!.interval[0] < TRUTH.x && TRUTH.x < fixed[1]!.interval[1]) found.covered++;
    }
    for (const name of ['intercept', 'x', 'sd'] as const) {
      const values = found[name];
      const mean = values.reduce((sum, value) => sum + value, 0) / datasets;
      const error = Math.sqrt(
        values.reduce((sum, v) => sum + (v - mean) ** 2, 0) / (datasets - 1) / datasets,
      );
      expect(Math.abs(mean - TRUTH[name])).toBeLessThan(3 * error + (name === 'sd' ? 0.03 : 0));
    }
    // 20 intervals at 95 percent: fewer than 15 has a chance below 1e-3.
    expect(found.covered).toBeGreaterThanOrEqual(15);
  });
});
