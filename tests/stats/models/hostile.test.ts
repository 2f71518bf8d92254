/**
 * Hostile data of every kind: a request is refused in words, or fitted; never an exception, never NaN without a
 * diagnosis.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type DataColumns, type FitResult, fitDocument } from '../../../src/stats/index.ts';

/** Every number of a result that is not finite, with where it stands. */
function notFinite(value: unknown, where = ''): string[] {
  if (typeof value === 'number') return Number.isFinite(value) ? [] : [where];
  if (value === null || typeof value !== 'object') return [];
  return Object.entries(value).flatMap(([key, inner]) => notFinite(inner, `${where}/${key}`));
}

/** Whether it was fitted. */
function expectSaid(model: unknown, data: DataColumns): boolean {
  const outcome = fitDocument(model, data, { predict: true });
  if (!outcome.ok) {
    expect(outcome.problems.length).toBeGreaterThan(0);
    for (const { where, found, expected, remedy } of outcome.problems) {
      expect(where).toMatch(/^\//);
      for (const text of [found, expected, remedy]) {
        expect(text).not.toBe('');
        expect(text).not.toMatch(/NaN|undefined|\[object/);
      }
    }
    return false;
  }
  const { result } = outcome;
  const faults = notFinite(result);
  if (faults.length > 0 && result.diagnosis.converged)
    expect({ faults, notes: result.diagnosis.notes.join(' ') }).toMatchObject({
      notes: expect.stringMatching(/could not be computed|no standard error/),
    });
  expect(result.observations + result.leftOut.length).toBe(data.y!.length);
  return true;
}

const nasty = fc.oneof(
  { weight: 8, arbitrary: fc.double({ min: -5, max: 5, noNaN: true }) },
  { weight: 4, arbitrary: fc.integer({ min: -2, max: 2 }) },
  { weight: 1, arbitrary: fc.constantFrom<number | string | null>(null, Number.NaN, '', '7', 'NA', 0, -0) },
  { weight: 1, arbitrary: fc.constantFrom(1e300, -1e300, 1e-300, 5e-324, 1e150, 1e16) },
);
const tame = fc.oneof(
  fc.double({ min: -5, max: 5, noNaN: true }),
  fc.integer({ min: -2, max: 2 }),
  fc.constant(null),
);
const columnsOf = (cell: fc.Arbitrary<number | string | null>, most: number) =>
  fc.integer({ min: 1, max: most }).chain((n) => {
    const list = <T>(item: fc.Arbitrary<T>) => fc.array(item, { minLength: n, maxLength: n });
    return fc.record({
      y: list(cell),
      x: list(cell),
      z: list(cell),
      w: list(fc.constantFrom(1, 2, 0.5, 3)),
      g: list(fc.constantFrom('a', 'b', 'c', 'd')),
      h: list(fc.constantFrom('u', 'v', 'w')),
      arm: list(fc.constantFrom('p', 'q')),
    });
  });
const models = fc.record(
  {
    outcome: fc.constant('y'),
    fixed: fc.subarray(
      [
        'intercept',
        { column: 'x' },
        { column: 'x', power: 2 },
        { column: 'arm' },
        { product: ['x', 'arm'] },
        { column: 'z', spline: { degreesOfFreedom: 3 } },
        { column: 'z', within: 'g' },
        { column: 'z', between: 'g' },
      ],
      { minLength: 1 },
    ),
    random: fc.subarray([
      { group: 'g', effects: ['intercept'] },
      { group: 'h', effects: ['intercept', 'x'] },
      { group: ['g', 'h'], effects: ['intercept'] },
    ]),
    criterion: fc.constantFrom('reml', 'ml'),
    weights: fc.constant('w'),
    inference: fc.constantFrom(
      {},
      { degreesOfFreedom: 'residual' },
      { degreesOfFreedom: 'kenward-roger' },
      { robust: { kind: 'hc3' } },
      { robust: { kind: 'cr2', group: 'g' } },
    ),
  },
  { requiredKeys: ['outcome', 'fixed'] },
);

/** A hundred and fifty requests, of which some must be fitted and some refused, or the check would be empty. */
function expectBoth(columns: ReturnType<typeof columnsOf>, seed: number): void {
  let fits = 0;
  fc.assert(
    fc.property(models, columns, (model, data) => {
      if (expectSaid(model, data)) fits++;
    }),
    { numRuns: 150, seed },
  );
  expect(fits).toBeGreaterThan(15);
  expect(fits).toBeLessThan(135);
}

describe('random models on hostile data', () => {
  it('values of every size, gaps and words', () => {
    expectBoth(columnsOf(nasty, 25), 20240613);
  });
  it('plain values, few and repeated, groups of one row and cells without any', () => {
    expectBoth(columnsOf(tame, 30), 20240614);
  });
});

describe('single faults', () => {
  const rows = Array.from({ length: 24 }, (_, i) => i);
  const base: Record<string, (number | string)[]> = {
    y: rows.map((i) => Math.sin(i * 7) + i / 10),
    x: rows.map((i) => Math.cos(i * 3)),
    g: rows.map((i) => `g${i % 4}`),
  };
  const mixed = {
    outcome: 'y',
    fixed: ['intercept', { column: 'x' }],
    random: [{ group: 'g', effects: ['intercept'] }],
  };
  const fitted = (data: DataColumns): FitResult => {
    const outcome = fitDocument(mixed, data, { predict: true });
    if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
    return outcome.result;
  };
  it.each([1e-150, 1e-12, 1e12, 1e150])('an outcome in units of %d is the same fit in that unit', (unit) => {
    const plain = fitted(base);
    const scaled = fitted({ ...base, y: base.y!.map((y) => Number(y) * unit) });
    expect(notFinite(scaled.fixed)).toEqual([]);
    scaled.fixed.forEach(({ estimate, standardError, pValue }, i) => {
      expect(estimate / unit / plain.fixed[i]!.estimate).toBeCloseTo(1, 6);
      expect(standardError / unit / plain.fixed[i]!.standardError).toBeCloseTo(1, 6);
      expect(pValue / plain.fixed[i]!.pValue).toBeCloseTo(1, 5);
    });
  });
  it('one row a million times larger than the rest is fitted, with every number finite', () => {
    expect(notFinite(fitted({ ...base, y: base.y!.map((y, i) => (i === 3 ? 1e6 : y)) }))).toEqual([]);
  });
  it('all rows but two missing', () => {
    const outcome = fitDocument(
      mixed,
      { ...base, y: base.y!.map((y, i) => (i < 2 ? y : null)) },
      { predict: false },
    );
    expect(outcome.ok ? [] : outcome.problems.map(({ kind }) => kind)).toContain('too-many-effects');
  });
});
