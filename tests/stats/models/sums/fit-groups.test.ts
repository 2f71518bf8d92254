/**
 * The fit from groups of rows against the fit from the rows (itself held to golden pairs and a dense oracle elsewhere), to 8
 * digits: random nested designs with groups of one row and of many, and values far from zero.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createStream } from '../../../../src/numerics/index.ts';
import {
  fitGroups,
  fitModel,
  influence,
  joinedSums,
  type Model,
  type OutcomeSums,
  valueSums,
} from '../../../../src/stats/index.ts';
import { expectSameFit, resultOf } from './same-fit.ts';

type Columns = Record<string, (number | string)[]>;

/** Golfers of two arms with sessions before and after; a number of the golfer; some sessions of one swing. */
function drawn(seed: number, offset: number) {
  const stream = createStream(seed, 'groups');
  const names = ['golfer', 'session', 'arm', 'age', 'before', 'after', 'drill'];
  const empty = (): Columns => Object.fromEntries(names.map((name) => [name, []]));
  const rows: Columns = { ...empty(), y: [] };
  const groups = empty();
  const values: number[][] = [];
  for (let g = 0; g < 9; g++) {
    const [level, arm, age] = [
      offset + 3 * stream.normal(),
      g % 2 === 0 ? 'drill' : 'control',
      stream.integer(20, 60),
    ];
    const change = 1 + stream.normal();
    for (const after of [0, 1])
      for (let s = 0; s < 1 + stream.integer(0, 2); s++) {
        const day = stream.normal();
        const own = [`g${g}`, `g${g}-${after}-${s}`, arm, age, 1 - after, after, arm === 'drill' ? after : 0];
        const swings = Array.from(
          { length: 1 + stream.integer(0, 6) },
          () => level + after * change + day + 2 * stream.normal(),
        );
        names.forEach((name, c) => {
          groups[name]!.push(own[c]!);
          for (const _ of swings) rows[name]!.push(own[c]!);
        });
        rows.y!.push(...swings);
        values.push(swings);
      }
  }
  const sums = values.map(valueSums);
  const known: OutcomeSums = {
    counts: sums.map(({ count }) => count),
    means: sums.map(({ mean }) => mean),
    squares: sums.map(({ squares }) => squares),
  };
  return { rows, groups, known };
}

const models: Readonly<Record<string, Model>> = {
  'levels before and after, sessions': {
    outcome: 'y',
    fixed: ['intercept', { column: 'after' }, { column: 'drill' }],
    random: [
      { group: 'golfer', effects: ['before', 'after'] },
      { group: ['golfer', 'session'], effects: ['intercept'] },
    ],
    inference: { degreesOfFreedom: 'kenward-roger' },
  },
  'a factor, a number and its square, own changes apart': {
    outcome: 'y',
    fixed: [
      'intercept',
      { column: 'arm', levels: ['control', 'drill'] },
      { column: 'age' },
      { column: 'age', power: 2 },
    ],
    random: [{ group: 'golfer', effects: ['intercept', 'after'], covariance: 'diagonal' }],
  },
  'least squares': { outcome: 'y', fixed: ['intercept', { column: 'drill' }] },
  'maximum likelihood': {
    outcome: 'y',
    criterion: 'ml',
    fixed: ['intercept', { product: ['after', 'age'] }, { column: 'after' }, { column: 'age' }],
    random: [{ group: 'golfer', effects: ['intercept'] }],
  },
};

describe.each(Object.entries(models))('%s', (_, model) => {
  it('is the fit of the rows', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1e6 }), fc.constantFrom(0, 40), (seed, offset) => {
        const { rows, groups, known } = drawn(seed, offset);
        const [found, whole] = [
          fitGroups(model, groups, known, { predict: true }),
          fitModel(model, rows, { predict: true }),
        ];
        expect(found.ok).toBe(whole.ok);
        if (
          whole.ok &&
          whole.fit.result.diagnosis.converged &&
          whole.fit.result.diagnosis.boundary.length === 0
        )
          expectSameFit(resultOf(found), whole.fit.result, 1e-7);
      }),
      { numRuns: 40, seed: 8 },
    );
  });
});

describe('what groups of rows do not tell', () => {
  const { groups, known } = drawn(3, 0);
  it.each([
    ['weights', { weights: 'age' }, '/weights'],
    ['an offset', { offset: 'age' }, '/offset'],
    ['means over groups', { fixed: ['intercept', { column: 'age', within: 'golfer' }] }, '/fixed/1'],
    ['another distribution', { distribution: 'count' }, '/distribution'],
  ] as const)('refuses %s', (_, part, where) => {
    const outcome = fitGroups({ outcome: 'y', fixed: ['intercept'], ...part } as Model, groups, known);
    expect(outcome.ok ? [] : outcome.problems.map((problem) => problem.where)).toEqual([where]);
  });
  it('refuses an outcome that is one value', () => {
    const same = { counts: [2, 3], means: [5, 5], squares: [0, 0] };
    const outcome = fitGroups({ outcome: 'y', fixed: ['intercept'] }, {}, same);
    expect(outcome.ok ? [] : outcome.problems.map(({ kind }) => kind)).toContain('constant-outcome');
  });
  it('has no rows to ask for influence', () => {
    const outcome = fitGroups(models['least squares']!, groups, known);
    if (!outcome.ok) throw new Error('no fit');
    expect(() => influence(outcome.fit, 'golfer')).toThrow(/rows/);
  });
});

describe('sums of values', () => {
  it('join as if the values had been summed together', () => {
    const some = fc.array(fc.double({ min: -1e6, max: 1e6, noNaN: true }), { minLength: 1, maxLength: 20 });
    fc.assert(
      fc.property(fc.array(some, { minLength: 1, maxLength: 6 }), (groups) => {
        const [joined, whole] = [joinedSums(groups.map(valueSums)), valueSums(groups.flat())];
        expect([joined.count, joined.least, joined.most]).toEqual([whole.count, whole.least, whole.most]);
        const scale = Math.max(1, Math.abs(whole.least), Math.abs(whole.most));
        expect(Math.abs(joined.mean - whole.mean)).toBeLessThan(1e-12 * scale);
        expect(Math.abs(joined.squares - whole.squares)).toBeLessThan(1e-10 * scale * scale);
      }),
    );
  });
  it('need values', () => {
    expect(() => valueSums([])).toThrow(/no values/);
    expect(() => joinedSums([])).toThrow(/no groups/);
  });
});
