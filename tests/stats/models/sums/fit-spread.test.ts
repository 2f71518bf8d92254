/**
 * The fit from means of cells and the products of departures from them against the fit from the rows (itself held to golden
 * pairs and a dense oracle elsewhere), and against the fit from groups where the outcome alone varies inside cells.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createStream } from '../../../../src/numerics/index.ts';
import {
  fitGroups,
  fitModel,
  fitSpread,
  influence,
  type Model,
  type SpreadOfCells,
  valueSums,
} from '../../../../src/stats/index.ts';
import { expectSameFit, resultOf } from './same-fit.ts';

type Numbers = Record<'golfer' | 'session' | 'x' | 'z' | 'y', number[]>;
const empty = (): Numbers => ({ golfer: [], session: [], x: [], z: [], y: [] });

/** Golfers with a slope of their own on x, which varies from swing to swing; z is of the session; some sessions of one swing. */
function drawn(seed: number, offset: number) {
  const stream = createStream(seed, 'cells');
  const rows = empty();
  let session = 0;
  for (let g = 0; g < 10; g++) {
    const [level, slope] = [offset + 2 * stream.normal(), 0.5 + 0.6 * stream.normal()];
    for (let s = 0; s < 1 + stream.integer(0, 3); s++, session++) {
      const [day, z, usual] = [stream.normal(), stream.normal(), offset + 3 * stream.normal()];
      for (let i = 0; i < 1 + stream.integer(0, 8); i++) {
        const x = usual + 2 * stream.normal();
        rows.golfer.push(g);
        rows.session.push(session);
        rows.x.push(x);
        rows.z.push(z);
        rows.y.push(level + slope * (x - offset) + 0.3 * z + day + stream.normal());
      }
    }
  }
  return rows;
}

function placesBy(groups: readonly number[]): number[][] {
  const places = new Map<number, number[]>();
  groups.forEach((group, i) => {
    places.set(group, [...(places.get(group) ?? []), i]);
  });
  return [...places.values()];
}

/**
 * Cells of sessions with the departures of the rows themselves, or, as the products tell no more, with their triangular root:
 * x and y = (root of xx, xy / root of xx) and (0, root of what is left of yy).
 */
function cellsOf(rows: Numbers, over: 'session' | 'golfer' | 'row') {
  const means = empty();
  const counts: number[] = [];
  const departures: { cell: number; golfer: number; x: number; y: number }[] = [];
  placesBy(rows.session).forEach((places, cell) => {
    const mean = (of: readonly number[]) => places.reduce((sum, i) => sum + of[i]!, 0) / places.length;
    for (const name of ['golfer', 'session', 'x', 'z', 'y'] as const) means[name].push(mean(rows[name]));
    counts.push(places.length);
    for (const i of places)
      departures.push({
        cell,
        golfer: rows.golfer[i]!,
        x: rows.x[i]! - means.x[cell]!,
        y: rows.y[i]! - means.y[cell]!,
      });
  });
  if (over === 'row') {
    const columns = { x: departures.map(({ x }) => x), y: departures.map(({ y }) => y) };
    return { means, spread: { counts, cell: departures.map(({ cell }) => cell), columns } };
  }
  const [cell, x, y]: [number[], number[], number[]] = [[], [], []];
  for (const places of placesBy(departures.map((one) => (over === 'session' ? one.cell : one.golfer)))) {
    const sum = (of: (one: (typeof departures)[number]) => number) =>
      places.reduce((total, i) => total + of(departures[i]!), 0);
    const root = Math.sqrt(sum((one) => one.x * one.x));
    if (root === 0) continue;
    const along = sum((one) => one.x * one.y) / root;
    cell.push(departures[places[0]!]!.cell, departures[places[0]!]!.cell);
    x.push(root, 0);
    y.push(along, Math.sqrt(Math.max(0, sum((one) => one.y * one.y) - along * along)));
  }
  return { means, spread: { counts, cell, columns: { x, y } } };
}

const days = { group: ['golfer', 'session'], effects: ['intercept' as const] };
const models: Readonly<Record<string, Model>> = {
  'own slopes and days': {
    outcome: 'y',
    fixed: ['intercept', { column: 'x' }, { column: 'z' }],
    random: [{ group: 'golfer', effects: ['intercept', 'x'], covariance: 'diagonal' }, days],
    inference: { degreesOfFreedom: 'kenward-roger' },
  },
  'own levels by maximum likelihood': {
    outcome: 'y',
    criterion: 'ml',
    fixed: ['intercept', { column: 'x' }],
    random: [{ group: 'golfer', effects: ['intercept'] }],
  },
  'least squares': { outcome: 'y', fixed: ['intercept', { column: 'x' }, { column: 'z' }] },
};

describe.each(Object.entries(models))('%s', (_, model) => {
  it.each(['row', 'session', 'golfer'] as const)('is the fit of the rows, departures by %s', (over) => {
    let fits = 0;
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1e6 }), fc.constantFrom(0, 40), (seed, offset) => {
        const rows = drawn(seed, offset);
        const { means, spread } = cellsOf(rows, over);
        const [found, whole] = [fitSpread(model, means, spread), fitModel(model, rows)];
        expect(found.ok).toBe(whole.ok);
        if (!whole.ok) return;
        const { converged, boundary } = whole.fit.result.diagnosis;
        if (!converged || boundary.length > 0) return;
        fits += 1;
        expectSameFit(resultOf(found), whole.fit.result, 1e-7);
      }),
      { numRuns: 15, seed: 5 },
    );
    expect(fits).toBeGreaterThan(5);
  });
});

describe('cells in which the outcome alone varies', () => {
  it('are the groups of fitGroups', () => {
    const rows = drawn(11, 5);
    const sums = placesBy(rows.session).map((places) => valueSums(places.map((i) => rows.y[i]!)));
    const { means } = cellsOf(rows, 'session');
    const model: Model = {
      outcome: 'y',
      fixed: ['intercept', { column: 'z' }],
      random: [{ group: 'golfer', effects: ['intercept'] }, days],
      inference: { degreesOfFreedom: 'kenward-roger' },
    };
    const spread: SpreadOfCells = {
      counts: sums.map(({ count }) => count),
      cell: sums.map((_, cell) => cell),
      columns: { y: sums.map(({ squares }) => Math.sqrt(squares)) },
    };
    const { golfer, session, z } = means;
    const groups = fitGroups(
      model,
      { golfer, session, z },
      {
        counts: sums.map(({ count }) => count),
        means: sums.map(({ mean }) => mean),
        squares: sums.map(({ squares }) => squares),
      },
    );
    expectSameFit(resultOf(fitSpread(model, means, spread)), resultOf(groups), 1e-8);
  });
});

describe('what cells do not tell', () => {
  const { means, spread } = cellsOf(drawn(3, 0), 'session');
  it.each([
    ['weights', { weights: 'z' }, '/weights'],
    ['an offset', { offset: 'z' }, '/offset'],
    ['a square', { fixed: ['intercept', { column: 'x', power: 2 }] }, '/fixed/1'],
    ['another distribution', { distribution: 'count' }, '/distribution'],
  ] as const)('refuses %s', (_, part, where) => {
    const outcome = fitSpread({ outcome: 'y', fixed: ['intercept'], ...part } as Model, means, spread);
    expect(outcome.ok ? [] : outcome.problems.map((problem) => problem.where)).toContain(where);
  });
  it('has no rows to ask for influence', () => {
    const outcome = fitSpread(models['least squares']!, means, spread);
    if (!outcome.ok) throw new Error('no fit');
    expect(() => influence(outcome.fit, 'golfer')).toThrow(/rows/);
  });
  it('throws for columns of another length', () => {
    const short = { ...spread, columns: { x: [1], y: [1] } };
    expect(() => fitSpread(models['least squares']!, means, short)).toThrow(/fitSpread/);
  });
});
