/** What a fit says of itself, in words: groups that decide the outcome, vast differences, variances not told apart. */
import { describe, expect, it } from 'vitest';
import { type DataColumns, fitDocument, fitModel, type Model } from '../../../../src/stats/index.ts';

const levels = (count: number, rows: number): string[] =>
  Array.from({ length: count * rows }, (_, i) => `g${Math.floor(i / rows)}`);
const model: Model = {
  outcome: 'y',
  distribution: 'binary',
  fixed: ['intercept'],
  random: [{ group: 'g', effects: ['intercept'] }],
};

function resultOf(asked: Model, data: DataColumns) {
  const outcome = fitModel(asked, data);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  return outcome.fit.result;
}

describe('a group inside which the outcome never varies', () => {
  const g = levels(10, 6);
  const y = g.map((_, i) => Math.floor(i / 6) % 2);

  it.each([
    ['binary', y, 1],
    ['binary', y, 15],
    ['ordinal', y.map((value, i) => value + (i < 18 ? 1 : 0)), 1],
  ] as const)('%s: unfit, and why', (distribution, outcome, quadraturePoints) => {
    const found = fitDocument(
      { ...model, distribution, quadraturePoints, fixed: distribution === 'ordinal' ? [] : ['intercept'] },
      { g, y: [...outcome] },
      { predict: false },
    );
    if (!found.ok) throw new Error(JSON.stringify(found.problems));
    expect(found.unfit).toBe(true);
    expect(found.result.diagnosis.notes).toEqual([
      'y never varies inside a level of g: how far its levels differ has no finite estimate, so do not use these numbers.',
    ]);
  });

  it('with a single exception: a fit, with a warning, and more nodes where Laplace is poor', () => {
    const one = y.map((value, i) => (i === 3 ? 1 - value : value));
    const laplace = resultOf(model, { g, y: one });
    expect(laplace.diagnosis.notes).toHaveLength(1);
    expect(laplace.diagnosis.notes[0]).toMatch(
      /^In intercept the levels of g differ so much .* ask for 25 quadraturePoints\.$/,
    );
    const nodes = resultOf({ ...model, quadraturePoints: 25 }, { g, y: one });
    expect(nodes.diagnosis.notes[0]).toMatch(/known only roughly\.$/);
    // The warning is deserved: the two differ by a factor.
    expect(laplace.random[0]!.sd[0]! / nodes.random[0]!.sd[0]!).toBeGreaterThan(1.5);
  });
});

describe('variances that the data cannot tell apart', () => {
  it('two names of the same groups', () => {
    const g = levels(10, 8);
    const y = g.map((_, i) => (i % 8 < 1 + 3 * (Math.floor(i / 8) % 3) ? 1 : 0));
    const outcome = fitModel(
      { ...model, random: [...model.random!, { group: 'h', effects: ['intercept'] }] },
      { g, h: g.map((name) => `h${name}`), y },
    );
    expect(outcome.ok ? [] : outcome.problems).toMatchObject([
      {
        kind: 'too-many-effects',
        where: '/random',
        found: 'variances that these data cannot tell apart: intercept across g; intercept across h',
      },
    ]);
  });
});

describe('offsets', () => {
  const g = levels(10, 8);
  const ratings = g.map((_, i) => (i * 7) % 4);
  it('a common one, however large, only moves the thresholds', () => {
    const asked: Model = { outcome: 'y', distribution: 'ordinal', fixed: [{ column: 'x' }], offset: 'o' };
    const x = g.map((_, i) => i % 5);
    const near = resultOf(asked, { g, x, y: ratings, o: g.map(() => 0) });
    const far = resultOf(asked, { g, x, y: ratings, o: g.map(() => 4000) });
    expect(far.logLikelihood).toBeCloseTo(near.logLikelihood, 8);
    expect(far.thresholds![0]!.estimate - 4000).toBeCloseTo(near.thresholds![0]!.estimate, 8);
  });

  it('exposures that were not turned into logarithms are refused, with the remedy', () => {
    const outcome = fitModel(
      { outcome: 'y', distribution: 'ordinal', fixed: [], offset: 'o' },
      { y: ratings, o: ratings.map((_, i) => 1000 * i) },
    );
    expect(outcome.ok ? [] : outcome.problems).toMatchObject([{ where: '/offset' }]);
  });
});
