/** Residual structures that cannot be fitted, or end at the edge: said in words with the place. */
import { describe, expect, it } from 'vitest';
import { createStream } from '../../../../src/numerics/index.ts';
import { type DataColumns, fitDocument, type ModelProblem } from '../../../../src/stats/index.ts';

const stream = createStream(5);
const rows = Array.from({ length: 60 }, (_, i) => i);
const data: DataColumns = {
  y: rows.map((i) => 20 + Math.floor(i / 10) + stream.normal()),
  centred: rows.map(() => stream.normal()),
  golfer: rows.map((i) => `G${Math.floor(i / 10)}`),
  session: rows.map((i) => `S${i % 2}`),
  swing: rows.map((i) => (i % 10) + 1),
  half: rows.map((i) => i / 2),
  same: rows.map(() => 3),
  kind: rows.map((i) => (i < 59 ? 'a' : 'b')),
  one: rows.map(() => 'a'),
  each: rows.map((i) => `r${i}`),
};
const base = { outcome: 'y', fixed: ['intercept'], random: [{ group: 'golfer', effects: ['intercept'] }] };
const ar1 = (group: string, order: string) => ({ residual: { correlation: { kind: 'ar1', group, order } } });

function problems(extra: object): readonly ModelProblem[] {
  const outcome = fitDocument({ ...base, ...extra }, data, { predict: false });
  if (outcome.ok) throw new Error('expected a refusal');
  for (const { found, expected, remedy } of outcome.problems)
    expect([found, expected, remedy].every((text) => text.length >= 5)).toBe(true);
  return outcome.problems;
}

describe('requests that cannot be fitted', () => {
  it.each([
    [ar1('golfer', 'half'), 'not-a-number', '/residual/correlation/order', /0.5 in half, data row 2/],
    [ar1('golfer', 'same'), 'bad-model', '/residual/correlation/order', /same same twice: 3 in golfer G0/],
    [ar1('each', 'swing'), 'too-many-effects', '/residual/correlation/group', /single row in every each/],
    [ar1('session', 'half'), 'not-a-number', '/residual/correlation/order', /half/],
    [ar1('golfr', 'swing'), 'unknown-column', '/residual/correlation/group', /golfr/],
    [{ residual: { variance: { by: 'one' } } }, 'one-level', '/residual/variance/by', /only a/],
    [{ residual: { variance: { by: 'kind' } } }, 'too-many-effects', '/residual/variance/by', /kind b/],
    [
      { outcome: 'centred', residual: { variance: { power: 'fitted' } } },
      'bad-model',
      '/residual/variance/power',
      /fitted values/,
    ],
    [
      {
        residual: { variance: { by: 'session' } },
        inference: { degreesOfFreedom: 'kenward-roger' },
      },
      'not-available',
      '/inference/degreesOfFreedom',
      /kenward-roger/,
    ],
  ])('%j', (extra, kind, where, found) => {
    const [first, ...more] = problems(extra);
    expect(more).toEqual([]);
    expect(first).toMatchObject({ kind, where });
    expect(first!.found).toMatch(found);
  });
  it('a series that runs through several levels of a random group', () => {
    const wide = { ...data, everyone: rows.map(() => 'all'), place: rows.map((i) => i) };
    const outcome = fitDocument({ ...base, ...ar1('everyone', 'place') }, wide, { predict: false });
    expect(outcome).toMatchObject({
      ok: false,
      problems: [{ kind: 'not-available', where: '/residual/correlation/group' }],
    });
  });
  it('rows with a missing step or level are left out and listed', () => {
    const gone = { ...data, swing: rows.map((i) => (i === 4 ? null : (i % 10) + 1)) };
    const outcome = fitDocument({ ...base, ...ar1('golfer', 'swing') }, gone, { predict: false });
    expect(outcome).toMatchObject({
      ok: true,
      result: { observations: 59, leftOut: [{ row: 5, why: 'swing is missing' }] },
    });
  });
});

describe('at the edge', () => {
  it('an autocorrelation that cannot be told from a shift of the whole group is said', () => {
    const drift = createStream(8);
    let level = 0;
    const y = rows.map((i) => {
      if (i % 10 === 0) level = 0;
      level += drift.normal();
      return level + 1e4 * Math.floor(i / 10);
    });
    const outcome = fitDocument(
      { outcome: 'y', fixed: ['intercept'], ...ar1('golfer', 'swing') },
      { ...data, y },
      { predict: false },
    );
    if (!outcome.ok) throw new Error('expected a fit');
    const { diagnosis, residualParameters } = outcome.result;
    expect(residualParameters![0]!.estimate).toBeGreaterThan(0.9999);
    expect(diagnosis.boundary.join(' ') + diagnosis.notes.join(' ')).toMatch(/autocorrelation|do not use/);
  });
  it('a variance between groups of zero stays a boundary beside an autocorrelation', () => {
    const flat = createStream(21);
    let e = 0;
    // Deviations that cancel inside each golfer: less variation between golfers than chance alone would give.
    const y = rows.map((i) => {
      if (i % 2 === 0) e = flat.normal();
      return 5 + (i % 2 === 0 ? e : -e);
    });
    const outcome = fitDocument({ ...base, ...ar1('golfer', 'swing') }, { ...data, y }, { predict: false });
    if (!outcome.ok) throw new Error('expected a fit');
    expect(outcome.result.diagnosis.boundary.join(' ')).toMatch(
      /variance of intercept across golfer .* zero/,
    );
    expect(outcome.result.random[0]!.sd[0]).toBe(0);
    expect(outcome.result.diagnosis.converged).toBe(true);
  });
});
