/** Refits of a prepared model against fits from rows, which the golden pairs check. */
import { describe, expect, it } from 'vitest';
import { createStream } from '../../../../src/numerics/index.ts';
import {
  type DataColumns,
  drawRefits,
  fitModel,
  type Model,
  type PreparedModel,
  prepareModel,
} from '../../../../src/stats/index.ts';
import { committedPairs, MODELS, readColumns } from '../golden.ts';

function prepared(model: Model, data: DataColumns): PreparedModel {
  const outcome = prepareModel(model, data);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  return outcome.prepared;
}

function flat(model: Model, data: DataColumns): { values: number[]; logLikelihood: number } {
  const outcome = fitModel({ ...model, inference: { degreesOfFreedom: 'normal' } }, data);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  const { fixed, random, residualSd, logLikelihood } = outcome.fit.result;
  const values = fixed.map(({ estimate }) => estimate);
  random.forEach(({ sd, correlation }, t) => {
    values.push(...sd);
    if (model.random![t]!.covariance !== 'diagonal')
      correlation.forEach((row, a) => {
        values.push(...row.slice(0, a));
      });
  });
  return { values: [...values, residualSd], logLikelihood };
}

const pairs = committedPairs().filter(({ model }) => model.residual === undefined);

describe.each(pairs.map((pair) => [pair.name, pair] as const))('%s', (_, { model, data: file }) => {
  const data = readColumns(`${MODELS}${file}`);
  const rows = data[model.outcome]!.length;

  it('a refit of another outcome is the fit of that outcome from its rows', () => {
    const stream = createStream(5);
    const y = Float64Array.from(data[model.outcome]!, (value) => 3 + 0.9 * Number(value));
    const size = Math.sqrt(y.reduce((sum, value) => sum + value * value, 0) / rows);
    for (let i = 0; i < rows; i++) y[i] = y[i]! + stream.normal(0, 0.02 * size);
    const ready = prepared(model, data);
    ready.refit(Float64Array.from(y, (value) => value * 2 - 1));
    const refit = ready.refit(y);
    const whole = flat(model, { ...data, [model.outcome]: y });
    expect(refit.converged).toBe(true);
    expect(refit.values).toHaveLength(ready.quantities.length);
    whole.values.forEach((value, i) => {
      expect(Math.abs(refit.values[i]! - value)).toBeLessThan(1e-7 * (1 + Math.abs(value)));
    });
    expect(Math.abs(refit.logLikelihood - whole.logLikelihood)).toBeLessThan(1e-7);
  });
});

describe('groups drawn with replacement', () => {
  it.each(['sleepstudy_slope_REML', 'pastes_REML'])(
    '%s: weighting groups is the fit of data in which the drawn groups stand as often as drawn',
    (name) => {
      const { model, data: file } = pairs.find((pair) => pair.name === name)!;
      const data = readColumns(`${MODELS}${file}`);
      const outermost = model.random!.map(({ group }) => (typeof group === 'string' ? group : group[0]!))[0]!;
      const column = name.startsWith('pastes') ? 'batch' : outermost;
      const levels = [...new Set(Array.from(data[column]!, String))].sort((a, b) =>
        Number.isNaN(Number(a)) ? (a < b ? -1 : 1) : Number(a) - Number(b),
      );
      const { values } = drawRefits(prepared(model, data), { of: 'groups', draws: 4, seed: 3 });
      const count = values.length / 4;
      for (let k = 0; k < 4; k++) {
        const stream = createStream(3, k);
        const drawn = levels.map(() => levels[stream.integer(0, levels.length - 1)]!);
        const copies: Record<string, (string | number)[]> = Object.fromEntries(
          Object.keys(data).map((key) => [key, []]),
        );
        drawn.forEach((level, copy) => {
          for (let i = 0; i < data[column]!.length; i++)
            if (String(data[column]![i]) === level)
              for (const key of Object.keys(data))
                copies[key]!.push(key === column ? `copy ${copy}` : (data[key]![i] as string));
        });
        const whole = flat(model, copies);
        whole.values.forEach((value, i) => {
          // Draws end where no estimate would move by more than a hundred-thousandth of its standard error.
          expect(Math.abs(values[k * count + i]! - value)).toBeLessThan(2e-5 * (1 + Math.abs(value)));
        });
      }
    },
  );
});

describe('prepareModel', () => {
  const model: Model = {
    outcome: 'y',
    fixed: ['intercept', { column: 'x' }],
    random: [{ group: 'g', effects: ['intercept'] }],
  };
  const design = {
    x: Array.from({ length: 40 }, (_, i) => i % 5),
    g: Array.from({ length: 40 }, (_, i) => `G${Math.floor(i / 5)}`),
  };
  const truth = { fixed: { intercept: 10, x: 2 }, random: [{ sd: [1] }], residualSd: 0.5 };

  it('simulates a design that has no outcome yet, and says what cannot be asked of it', () => {
    const ready = prepared(model, design);
    expect(ready.observed).toBe(false);
    const { values, centre, failed } = drawRefits(ready, { of: 'outcomes', truth, draws: 200, seed: 1 });
    expect([...centre]).toEqual([10, 2, 1, 0.5]);
    expect(failed).toEqual([]);
    let slope = 0;
    for (let k = 0; k < 200; k++) slope += values[k * 4 + 1]! / 200;
    // The slope's SE is 0.5 / sqrt(8 x 10) = 0.056, its mean's 0.004.
    expect(Math.abs(slope - 2)).toBeLessThan(0.016);
    expect(() => ready.fit()).toThrow(/no y/);
    expect(() => drawRefits(ready, { of: 'groups', draws: 5, seed: 1 })).toThrow(/no y/);
    expect(() => drawRefits(ready, { of: 'outcomes', draws: 5, seed: 1 })).toThrow(/truth/);
  });

  it('refuses an impossible truth, a wrong number of draws, an outcome with gaps, other distributions', () => {
    const ready = prepared(model, { ...design, y: design.x.map((x, i) => x + (i % 7)) });
    const draw = (changed: object) => () =>
      drawRefits(ready, { of: 'outcomes', truth: { ...truth, ...changed }, draws: 2, seed: 1 });
    expect(draw({ residualSd: 0 })).toThrow(/residual SD/);
    expect(draw({ random: [] })).toThrow(/1 random terms/);
    expect(draw({ random: [{ sd: [1, 2] }] })).toThrow(/1 effects/);
    expect(draw({ fixed: { z: 1 } })).toThrow(/no fixed term z/);
    expect(() => drawRefits(ready, { of: 'outcomes', draws: 0, seed: 1 })).toThrow(/above zero/);
    expect(() => ready.refit(new Float64Array(40).fill(Number.NaN))).toThrow(/data row 1/);
    const binary = prepareModel({ ...model, distribution: 'binary' }, design);
    expect(binary.ok).toBe(false);
  });

  it('is singular in words where a variance is zero', () => {
    const y = Float64Array.from(
      design.x,
      (x, i) => x + [0.3, -0.2, 0.1, -0.3, 0.1][(i + Math.floor(i / 5)) % 5]!,
    );
    const refit = prepared(model, design).refit(y);
    expect(refit.converged).toBe(true);
    expect(refit.singular).toBe(true);
    expect(refit.values[2]).toBe(0);
  });
});
