/** Requests that cannot be fitted: each a clear problem with its place, all at once, never an exception. */
import { describe, expect, it } from 'vitest';
import { type DataColumns, fitDocument, type ModelProblem } from '../../../src/stats/index.ts';

const data: DataColumns = {
  y: [3, 4, 6, 5, 9, 7, 8, 12, 10, 11, 13, 15],
  x: [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 13],
  twice: [2, 4, 6, 8, 10, 12, 14, 16, 18, 20, 22, 26],
  same: Array(12).fill(4),
  arm: ['p', 'q', 'p', 'q', 'p', 'q', 'p', 'q', 'p', 'q', 'p', 'q'],
  only: Array(12).fill('p'),
  golfer: ['a', 'a', 'a', 'b', 'b', 'b', 'c', 'c', 'c', 'd', 'd', 'd'],
  row: Array.from({ length: 12 }, (_, i) => i),
  typo: ['1', '2', '3', '4', '5', '6', '7', '8,5', '9', '10', '11', '12'],
  infinite: [1, 2, 3, 4, 5, Number.POSITIVE_INFINITY, 7, 8, 9, 10, 11, 12],
  empty: Array(12).fill(null),
  weight: [1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 0],
};

function problems(model: unknown, columns = data): readonly ModelProblem[] {
  const outcome = fitDocument(model, columns, { predict: false });
  if (outcome.ok) throw new Error('the request was expected to be refused');
  for (const { where, found, expected, remedy } of outcome.problems) {
    expect(where).toMatch(/^\//);
    for (const text of [found, expected, remedy]) expect(text).not.toBe('');
    expect(remedy).toMatch(/\.$/);
  }
  return outcome.problems;
}
const kinds = (model: unknown, columns = data) =>
  problems(model, columns).map(({ kind, where }) => `${kind} ${where}`);
const base = { outcome: 'y', fixed: ['intercept', { column: 'x' }] };

describe('the document', () => {
  it.each([null, 3, 'y', [], undefined])('%j is no model', (value) => {
    expect(problems(value).every(({ kind }) => kind === 'bad-model')).toBe(true);
  });
  it('names every fault at once, each with its place', () => {
    expect(
      kinds({
        fixed: ['intercpt', { column: 'x', power: 1 }, { colum: 'x' }],
        criterion: 'best',
        inference: { level: 95 },
        random: [{ group: 'golfer' }],
        colour: 'red',
      }).sort(),
    ).toEqual(
      [
        'bad-model /',
        'bad-model /colour',
        'bad-model /criterion',
        'bad-model /fixed/0',
        'bad-model /fixed/1/power',
        'bad-model /fixed/2',
        'bad-model /fixed/2/colum',
        'bad-model /inference/level',
        'bad-model /random/0',
      ].sort(),
    );
  });
  it('without a fixed term', () => {
    expect(kinds({ outcome: 'y', fixed: [] })).toEqual(['bad-model /fixed']);
  });
});

describe('what is not available is said, not attempted', () => {
  it.each([[{ quadraturePoints: 5 }, '/quadraturePoints']])('%j', (extra, where) => {
    expect(kinds({ ...base, ...extra })).toEqual([`not-available ${where}`]);
  });
  it('but the default spelled out is accepted', () => {
    const outcome = fitDocument(
      { ...base, distribution: 'normal', residual: { variance: 'constant', correlation: 'none' } },
      data,
      { predict: false },
    );
    expect(outcome.ok).toBe(true);
  });
  it('kenward-roger needs reml', () => {
    expect(kinds({ ...base, criterion: 'ml', inference: { degreesOfFreedom: 'kenward-roger' } })).toEqual([
      'bad-model /inference/degreesOfFreedom',
    ]);
  });
});

describe('columns', () => {
  it('unknown ones are all named, with the nearest name', () => {
    const found = problems({
      outcome: 'Y2',
      fixed: ['intercept', { column: 'amr' }, { product: ['x', 'nothing'] }],
      random: [{ group: ['golfer', 'sesion'], effects: ['intercept'] }],
    });
    expect(found.map(({ kind, where }) => `${kind} ${where}`)).toEqual([
      'unknown-column /outcome',
      'unknown-column /fixed/1/column',
      'unknown-column /fixed/2/product/1',
      'unknown-column /random/0/group/1',
    ]);
    expect(found[1]!.remedy).toContain('arm');
  });
  it('a name from the object prototype is no column', () => {
    expect(kinds({ ...base, fixed: ['intercept', { column: 'constructor' }] })).toEqual([
      'unknown-column /fixed/1/column',
    ]);
  });
  it('text in a number column: the row and the text', () => {
    const [found] = problems({ ...base, fixed: ['intercept', { column: 'typo' }] });
    expect(found!.kind).toBe('not-a-number');
    expect(found!.found).toContain('"8,5"');
    expect(found!.found).toContain('row 8');
  });
  it('text as the outcome', () => {
    expect(kinds({ ...base, outcome: 'arm' })).toEqual(['not-a-number /outcome']);
  });
  it('infinities', () => {
    expect(kinds({ ...base, fixed: ['intercept', { column: 'infinite' }] })).toEqual([
      'not-a-number /fixed/1/column',
    ]);
  });
  it('a factor with one level', () => {
    expect(kinds({ ...base, fixed: ['intercept', { column: 'only' }] })).toEqual([
      'one-level /fixed/1/column',
    ]);
    expect(kinds({ ...base, random: [{ group: 'only', effects: ['intercept'] }] })).toEqual([
      'one-level /random/0/group',
    ]);
  });
  it('a level that never occurs', () => {
    const [found] = problems({ ...base, fixed: ['intercept', { column: 'arm', levels: ['p', 'q', 'Q'] }] });
    expect(found!.where).toBe('/fixed/1/levels');
    expect(found!.found).toContain('Q');
  });
  it('levels that are not named leave their rows out, each listed', () => {
    const outcome = fitDocument(
      { ...base, fixed: ['intercept', { column: 'golfer', levels: ['a', 'b'] }] },
      data,
      { predict: false },
    );
    if (!outcome.ok) throw new Error('expected a fit');
    expect(outcome.result.observations).toBe(6);
    expect(outcome.result.leftOut).toHaveLength(6);
    expect(outcome.result.leftOut[0]).toEqual({
      row: 7,
      why: 'golfer is c, which is not among the levels of the model',
    });
  });
  it('nothing but missing values, and no rows at all', () => {
    expect(kinds({ ...base, fixed: ['intercept', { column: 'empty' }] })).toEqual(['no-rows /']);
    expect(kinds(base, { y: [], x: [] })).toEqual(['no-rows /']);
  });
  it('columns of different length', () => {
    expect(kinds(base, { y: [1, 2, 3], x: [1, 2] })).toEqual(['bad-model /fixed/1/column']);
  });
  it('weights must be above zero', () => {
    const [found] = problems({ ...base, weights: 'weight' });
    expect(found!.where).toBe('/weights');
    expect(found!.found).toContain('row 12');
  });
  it('a power that does not exist', () => {
    expect(
      kinds({ ...base, fixed: ['intercept', { column: 'x', power: 0.5 }] }, { y: [1, 2, 4], x: [-1, 2, 3] }),
    ).toEqual(['not-a-number /fixed/1/power']);
  });
  it('a spline that asks for more bends than there are values', () => {
    expect(
      kinds(
        { ...base, fixed: ['intercept', { column: 'arm01', spline: { degreesOfFreedom: 4 } }] },
        {
          ...data,
          arm01: [0, 1, 0, 1, 0, 1, 0, 1, 0, 1, 0, 1],
        },
      ),
    ).toEqual(['bad-model /fixed/1/spline/degreesOfFreedom']);
  });
});

describe('designs that cannot be solved', () => {
  it('a constant outcome', () => {
    expect(kinds({ ...base, outcome: 'same' })).toEqual(['constant-outcome /outcome']);
  });
  it('an outcome computed from its explanation', () => {
    expect(kinds({ ...base, outcome: 'twice' })).toEqual(['constant-outcome /outcome']);
  });
  it('collinear columns are named with what they follow from', () => {
    const [found] = problems({ ...base, fixed: ['intercept', { column: 'x' }, { column: 'twice' }] });
    expect(found!.kind).toBe('collinear');
    expect(found!.where).toBe('/fixed/2');
    expect(found!.found).toBe('twice, which can be computed from x');
    const [constant] = problems({ ...base, fixed: ['intercept', { column: 'same' }] });
    expect(constant!.found).toBe('same, which can be computed from intercept');
  });
  it('an empty cell of a product', () => {
    const half = {
      ...data,
      arm: ['p', 'p', 'p', 'p', 'p', 'p', 'q', 'q', 'q', 'q', 'q', 'q'],
      late: [...Array(6).fill('n'), ...Array(6).fill('y')],
    };
    expect(
      kinds(
        {
          ...base,
          fixed: ['intercept', { column: 'arm' }, { column: 'late' }, { product: ['arm', 'late'] }],
        },
        half,
      ),
    ).toEqual(['collinear /fixed/2', 'collinear /fixed/3']);
  });
  it('as many fixed effects as rows', () => {
    expect(kinds({ ...base }, { y: [1, 3], x: [1, 2] })).toEqual(['too-many-effects /fixed']);
  });
  it('one row for each level of a group', () => {
    expect(kinds({ ...base, random: [{ group: 'row', effects: ['intercept'] }] })).toEqual([
      'too-many-effects /random/0/effects',
    ]);
  });
  it('as many random effects as rows in a group', () => {
    expect(kinds({ ...base, random: [{ group: 'golfer', effects: ['intercept', 'x', 'arm'] }] })).toEqual([
      'too-many-effects /random/0/effects',
    ]);
  });
  it('two groups that are the same partition cannot be told apart', () => {
    const twin = { ...data, pupil: Array.from(data.golfer!, (g) => `pupil ${g}`) };
    expect(
      kinds(
        {
          ...base,
          random: [
            { group: 'golfer', effects: ['intercept'] },
            { group: 'pupil', effects: ['intercept'] },
          ],
        },
        twin,
      ),
    ).toEqual(['too-many-effects /random']);
  });
  it('the same random effect twice', () => {
    expect(
      kinds({
        ...base,
        random: [
          { group: 'golfer', effects: ['intercept'] },
          { group: 'golfer', effects: ['intercept'] },
        ],
      }),
    ).toEqual(['bad-model /random/1']);
  });
  it('a random effect that follows from the others', () => {
    expect(kinds({ ...base, random: [{ group: 'golfer', effects: ['x', 'twice'] }] })).toEqual([
      'collinear /random/0/effects',
    ]);
  });
});

describe('an outcome that hardly varies inside its groups', () => {
  it('is refused or declared unfit, without NaN', () => {
    const outcome = fitDocument(
      { ...base, fixed: ['intercept'], random: [{ group: 'golfer', effects: ['intercept'] }] },
      { ...data, y: [3, 3, 3, 5, 5, 5, 4, 4, 4, 9, 9, 9] },
      { predict: true },
    );
    if (outcome.ok) {
      expect(outcome.unfit).toBe(true);
      expect(outcome.result.diagnosis.notes.join(' ')).toContain('residual variance');
    } else expect(outcome.problems.map(({ kind }) => kind)).toEqual(['constant-outcome']);
  });
});
