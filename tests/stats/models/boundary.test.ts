/** Singular fits: found, described in words, and not an error. */
import { describe, expect, it } from 'vitest';
import { createStream } from '../../../src/numerics/index.ts';
import { type DataColumns, type FitResult, fitModel, type Model } from '../../../src/stats/index.ts';
import { committedPairs, MODELS, readColumns } from './golden.ts';

function fitted(model: Model, data: DataColumns): FitResult {
  const outcome = fitModel(model, data, { predict: true });
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  const { result } = outcome.fit;
  expect(result.diagnosis.converged).toBe(true);
  const numbers = JSON.stringify(result, (_, value) =>
    typeof value === 'number' && !Number.isFinite(value) ? 'not finite' : value,
  );
  expect(numbers).not.toContain('not finite');
  return result;
}

/** Groups whose means are exactly equal: the between-group variance must be estimated as zero. */
const balanced: DataColumns = {
  y: Array.from({ length: 30 }, (_, i) => [1, -1, 2, -2, 0][i % 5]!),
  x: Array.from({ length: 30 }, (_, i) => (i * 7) % 11),
  golfer: Array.from({ length: 30 }, (_, i) => `g${Math.floor(i / 5)}`),
};

describe('a variance of exactly zero', () => {
  it.each(['satterthwaite', 'kenward-roger', 'residual', 'normal'] as const)('%s', (degreesOfFreedom) => {
    const result = fitted(
      {
        outcome: 'y',
        fixed: ['intercept'],
        random: [{ group: 'golfer', effects: ['intercept'] }],
        inference: { degreesOfFreedom },
      },
      balanced,
    );
    expect(result.random[0]!.sd).toEqual([0]);
    expect(
      result.predictions!.every(({ values, conditionalSd }) => values[0] === 0 && conditionalSd[0] === 0),
    ).toBe(true);
    expect(result.diagnosis.boundary).toHaveLength(1);
    expect(result.diagnosis.boundary[0]).toContain(
      'The variance of intercept across golfer is estimated as zero',
    );
    // What is left is a mean of 30 values: the sum of squares is 60, so s2 = 60 / 29.
    expect(result.residualSd).toBeCloseTo(Math.sqrt(60 / 29), 12);
    expect(result.fixed[0]!.estimate).toBeCloseTo(0, 12);
  });
});

describe('a correlation of plus or minus one', () => {
  it.each([1, -1])('%i', (sign) => {
    const stream = createStream(5, 'line');
    const data: Record<string, (number | string)[]> = { y: [], x: [], golfer: [] };
    for (let g = 0; g < 12; g++) {
      const u = stream.normal();
      for (let r = 0; r < 8; r++) {
        const x = r - 3.5;
        data.golfer!.push(`g${g}`);
        data.x!.push(x);
        data.y!.push(2 * u + sign * u * x + 0.5 * stream.normal());
      }
    }
    const result = fitted(
      {
        outcome: 'y',
        fixed: ['intercept', { column: 'x' }],
        random: [{ group: 'golfer', effects: ['intercept', 'x'] }],
      },
      data,
    );
    const r = result.random[0]!.correlation[0]![1]!;
    expect(Math.abs(r - sign)).toBeLessThan(0.02);
    if (r === sign) {
      expect(result.diagnosis.boundary[0]).toContain(`intercept and x (${sign > 0 ? 'plus' : 'minus'} 1)`);
    } else expect(result.diagnosis.boundary).toEqual([]);
  });

  it('two readings of one quantity: exactly one, and said so', () => {
    // Odd and even rows of each golfer have the same mean by construction, so their true scores move together.
    const data = {
      y: Array.from(
        { length: 64 },
        (_, i) => Math.floor(i / 8) + [0.5, 0.5, -0.5, -0.5, 0.3, 0.3, -0.3, -0.3][i % 8]!,
      ),
      reading: Array.from({ length: 64 }, (_, i) => (i % 2 === 0 ? 'first' : 'second')),
      golfer: Array.from({ length: 64 }, (_, i) => `g${Math.floor(i / 8)}`),
    };
    const result = fitted(
      {
        outcome: 'y',
        fixed: ['intercept', { column: 'reading', levels: ['first', 'second'] }],
        random: [
          {
            group: 'golfer',
            effects: [
              { column: 'reading', level: 'first' },
              { column: 'reading', level: 'second' },
            ],
          },
        ],
      },
      data,
    );
    expect(result.random[0]!.effects).toEqual(['reading=first', 'reading=second']);
    expect(result.random[0]!.correlation[0]![1]).toBe(1);
    expect(result.diagnosis.boundary[0]).toContain('reading=first and reading=second (plus 1)');
  });
});

describe('one of several variances at zero', () => {
  it('a diagonal covariance keeps the other', () => {
    const { model } = committedPairs().find(({ name }) => name === 'sleepstudy_zerocorr_REML')!;
    const data = readColumns(`${MODELS}sleepstudy.csv`);
    // Each subject's own least-squares slope is taken out, so no slope variance is left.
    const days = Array.from(data.Days!, Number);
    const y = Array.from(data.Reaction!, Number);
    const subject = Array.from(data.Subject!, String);
    const flat = y.map((value, i) => {
      const rows = subject.flatMap((s, j) => (s === subject[i] ? [j] : []));
      const slope =
        rows.reduce((sum, j) => sum + (days[j]! - 4.5) * y[j]!, 0) /
        rows.reduce((sum, j) => sum + (days[j]! - 4.5) ** 2, 0);
      return value - slope * days[i]!;
    });
    const result = fitted(model, { ...data, Reaction: flat });
    expect(result.random[0]!.sd[0]).toBeGreaterThan(10);
    expect(result.random[0]!.sd[1]).toBe(0);
    expect(result.diagnosis.boundary).toHaveLength(1);
    expect(result.diagnosis.boundary[0]).toContain('The variance of Days across Subject');
  });
});
