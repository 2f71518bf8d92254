/** Outcomes and requests that cannot be fitted: what is said about each, all at once, with rows. */
import { describe, expect, it } from 'vitest';
import { fitDocument, type ModelProblem } from '../../../../src/stats/index.ts';

const g = ['a', 'a', 'a', 'b', 'b', 'b', 'c', 'c', 'c'];
const x = [1, 2, 3, 1, 3, 2, 2, 3, 4];
const n = [5, 5, 5, 4, 4, 4, 6, 6, 6];

function problems(
  model: object,
  y: readonly (number | string | null)[],
  more: object = {},
): readonly ModelProblem[] {
  const outcome = fitDocument(
    { outcome: 'y', fixed: ['intercept', { column: 'x' }], ...model },
    { g, x, n, y, ...more },
    {
      predict: false,
    },
  );
  return outcome.ok ? [] : outcome.problems;
}

describe('the outcome', () => {
  it.each([
    ['binary', [0, 1, 2, 1, 0, -1, 1, 0, 1], '2 in y, data row 3 (and 1 more)', '0 or 1'],
    ['binary', [0, 1, 0.5, 1, 0, 1, 1, 0, 1], '0.5 in y, data row 3', '0 or 1'],
    ['count', [0, 1, 2.5, 1, 0, 1, 1, 0, 1], '2.5 in y, data row 3', 'counts: whole numbers from 0'],
    ['count', [null, 1, -3, 1, 0, 1, 1, 0, 1], '-3 in y, data row 3', 'counts: whole numbers from 0'],
  ])('%s: %j', (distribution, y, found, expected) => {
    expect(problems({ distribution }, y)).toMatchObject([
      { kind: 'bad-outcome', where: '/outcome', found, expected },
    ]);
  });

  it('successes above the trials, and trials that are none, both at once', () => {
    const found = problems({ distribution: 'binary', trials: 'n' }, [2, 6, 1, 0, 4, 3, 2, 1, 9], {
      n: [5, 5, 5, 4, 4, 0, 6, 6, 6],
    });
    expect(found).toMatchObject([
      { kind: 'bad-outcome', where: '/trials', found: '0 in n, data row 6' },
      { kind: 'bad-outcome', where: '/outcome', found: '6 in y, data row 2, with 5 trials (and 2 more)' },
    ]);
  });

  it.each([
    ['binary', [1, 1, 1, 1, 1, 1, 1, 1, 1], '1 in every row of y'],
    ['count', [0, 0, 0, 0, 0, 0, 0, 0, 0], '0 in every row of y'],
    ['ordinal', [4, 4, 4, 4, 4, 4, 4, 4, 4], 'the rating 4 in every row of y'],
  ])('%s that never varies', (distribution, y, found) => {
    const fixed = distribution === 'ordinal' ? [{ column: 'x' }] : ['intercept', { column: 'x' }];
    expect(problems({ distribution, fixed }, y)).toMatchObject([{ kind: 'constant-outcome', found }]);
  });

  it('text and infinities are refused as for any outcome', () => {
    expect(problems({ distribution: 'binary' }, [0, 1, 'yes', 1, 0, 1, 1, 0, 1])).toMatchObject([
      { kind: 'not-a-number', found: '"yes" in y, data row 3' },
    ]);
    expect(
      problems({ distribution: 'count' }, [0, 1, Number.POSITIVE_INFINITY, 1, 0, 1, 1, 0, 1])[0]!.kind,
    ).toBe('not-a-number');
  });

  it('an unknown column of trials is named', () => {
    expect(problems({ distribution: 'binary', trials: 'm' }, [0, 1, 0, 1, 0, 1, 1, 0, 1])).toMatchObject([
      { kind: 'unknown-column', where: '/trials' },
    ]);
  });
});

describe('ratings', () => {
  const y = [1, 2, 5, 1, 4, 2, 2, 4, 4];
  const ordinal = { distribution: 'ordinal', fixed: [{ column: 'x' }] };

  it('a rating nobody gave is named, and its neighbours share a threshold', () => {
    const outcome = fitDocument({ outcome: 'y', ...ordinal }, { x, y }, { predict: false });
    if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
    expect(outcome.result.thresholds!.map(({ between }) => between)).toEqual(['1|2', '2|4', '4|5']);
    expect(outcome.result.diagnosis.notes).toEqual([
      'No row has the y 3: the ratings on either side of such a gap are treated as neighbours, with one threshold between them.',
    ]);
  });

  it('thresholds alone are a model: cumulative log odds of the shares', () => {
    const outcome = fitDocument(
      { outcome: 'y', distribution: 'ordinal', fixed: [] },
      { y },
      { predict: false },
    );
    if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
    const odds = [2 / 7, 5 / 4, 8 / 1];
    outcome.result.thresholds!.forEach(({ estimate }, k) => {
      expect(estimate).toBeCloseTo(Math.log(odds[k]!), 10);
    });
    expect(outcome.result.tests).toEqual([]);
  });

  it('an intercept is refused, for the thresholds take its place; so is a column that never varies', () => {
    expect(problems({ distribution: 'ordinal' }, y)).toMatchObject([
      { kind: 'bad-model', where: '/fixed/0', found: 'intercept' },
    ]);
    expect(
      problems({ ...ordinal, fixed: [{ column: 'x' }, { column: 'one' }] }, y, { one: x.map(() => 0.1) }),
    ).toMatchObject([{ kind: 'collinear', where: '/fixed/1' }]);
  });

  it('a measurement is no rating', () => {
    const many = Array.from({ length: 60 }, (_, i) => i + 0.5);
    expect(
      problems(ordinal, many, { x: many.map((value) => value ** 2), g: many.map(String), n: many }),
    ).toMatchObject([{ kind: 'bad-outcome', found: '60 different values in y' }]);
  });
});

describe('requests that make no sense for such an outcome', () => {
  const y = [0, 1, 0, 1, 0, 1, 1, 0, 1];
  const random = [{ group: 'g', effects: ['intercept'] }];
  it.each([
    [{ weights: 'n' }, '/weights'],
    [{ criterion: 'reml' }, '/criterion'],
    [{ inference: { degreesOfFreedom: 'satterthwaite' } }, '/inference/degreesOfFreedom'],
    [{ residual: { variance: { by: 'g' } } }, '/residual'],
    [{ random: [{ group: 'g', effects: ['intercept', 'x'] }], quadraturePoints: 5 }, '/quadraturePoints'],
    [{ random, quadraturePoints: 1000 }, '/quadraturePoints'],
    [{ distribution: 'count', trials: 'n' }, '/trials'],
  ])('%j', (extra, where) => {
    expect(problems({ distribution: 'binary', ...extra }, y).map((problem) => problem.where)).toEqual([
      where,
    ]);
  });

  it('an effect for each row: refused for yes or no, welcome for counts', () => {
    const row = x.map((_, i) => `r${i}`);
    const each = { random: [{ group: 'row', effects: ['intercept'] }] };
    expect(problems({ distribution: 'binary', ...each }, y, { row }).map(({ kind }) => kind)).toEqual([
      'too-many-effects',
    ]);
    expect(problems({ distribution: 'count', ...each }, [3, 0, 9, 1, 4, 0, 7, 2, 1], { row })).toEqual([]);
  });
});
