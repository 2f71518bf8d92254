/** Column names are checked when the code is compiled: each @ts-expect-error fails the type check if it is not. */
import { describe, expect, it } from 'vitest';
import { fitModel, type Model } from '../../../src/stats/index.ts';

interface SwingRow {
  readonly golfer_id: string;
  readonly phase: 'baseline' | 'post';
  readonly lag_deg: number;
}

const good: Model<SwingRow> = {
  outcome: 'lag_deg',
  fixed: ['intercept', { column: 'phase', levels: ['baseline', 'post'] }],
  random: [{ group: 'golfer_id', effects: ['intercept', { column: 'phase', level: 'post' }] }],
};

// @ts-expect-error the outcome is not a column of the row
const wrongOutcome: Model<SwingRow> = { outcome: 'lag', fixed: ['intercept'] };
const wrongFixed: Model<SwingRow> = {
  outcome: 'lag_deg',
  // @ts-expect-error no such column
  fixed: ['intercept', { column: 'phases' }],
};
const wrongProduct: Model<SwingRow> = {
  outcome: 'lag_deg',
  // @ts-expect-error one of the two is not a column
  fixed: [{ product: ['phase', 'arm'] }],
};
const wrongGroup: Model<SwingRow> = {
  outcome: 'lag_deg',
  fixed: ['intercept'],
  // @ts-expect-error no such group
  random: [{ group: ['golfer_id', 'session_id'], effects: ['intercept'] }],
};
const wrongWeights: Model<SwingRow> = {
  outcome: 'lag_deg',
  fixed: ['intercept'],
  // @ts-expect-error no such column
  weights: 'weight',
};

describe('Model<Row>', () => {
  it('refuses the misspelt models at run time too', () => {
    const data = { golfer_id: ['a', 'b', 'a'], phase: ['baseline', 'post', 'post'], lag_deg: [1, 2, 4] };
    for (const model of [wrongOutcome, wrongFixed, wrongProduct, wrongGroup, wrongWeights]) {
      const outcome = fitModel(model, data);
      expect(outcome.ok ? [] : outcome.problems.map(({ kind }) => kind)).toContain('unknown-column');
    }
  });

  it('is fitted with its row type', () => {
    const golfers = ['a', 'b', 'c', 'd', 'e'];
    const outcome = fitModel<SwingRow>(good, {
      golfer_id: golfers.flatMap((g) => Array(6).fill(g)),
      phase: golfers.flatMap(() => ['baseline', 'baseline', 'baseline', 'post', 'post', 'post']),
      lag_deg: golfers.flatMap((_, g) => [90, 91, 89, 92 + g, 94 + g, 93 - g]),
    });
    expect(outcome.ok).toBe(true);
    if (outcome.ok) {
      expect(outcome.fit.result.fixed.map(({ term }) => term)).toEqual(['intercept', 'phase=post']);
      expect(outcome.fit.result.random[0]!.effects).toEqual(['intercept', 'phase=post']);
    }
  });
});
