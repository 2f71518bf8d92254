/**
 * What averaged predictions must do whatever the data: follow a change of unit and sign, not know the order of the rows,
 * widen where groups are few and approach the variances as known where they are many, and say null where they promise it.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createStream } from '../../../../src/numerics/index.ts';
import {
  type AveragedPrediction,
  averagedPredictions,
  type Combination,
  type Fit,
  fitModel,
  type Model,
} from '../../../../src/stats/index.ts';

interface Planted {
  readonly groups: number;
  readonly each: number;
  /** Of the groups; the residual SD is 1. */
  readonly sd: number;
  readonly seed: number;
}
interface Rows {
  readonly group: string[];
  readonly x: number[];
  readonly y: number[];
  readonly [column: string]: number[] | string[];
}

/** Levels and slopes on x (0 or 1) of groups, the same number of rows in each; the slopes are put into `slopes`. */
function rowsOf({ groups, each, sd, seed }: Planted, slopes: number[] = []): Rows {
  const stream = createStream(seed);
  const out: Rows = { group: [], x: [], y: [] };
  for (let g = 0; g < groups; g++) {
    const level = stream.normal(10, sd);
    const change = stream.normal(1, sd);
    slopes.push(change);
    for (let i = 0; i < each; i++) {
      out.group.push(`g${g}`);
      out.x.push(i % 2);
      out.y.push(level + (i % 2) * change + stream.normal(0, 1));
    }
  }
  return out;
}

const MODEL: Model = {
  outcome: 'y',
  distribution: 'normal',
  fixed: ['intercept', { column: 'x' }],
  random: [{ group: 'group', effects: ['intercept', 'x'] }],
  inference: { degreesOfFreedom: 'normal' },
};
const ofGroup = (level: string): Combination => ({
  fixed: { x: 1 },
  random: [{ group: 'group', level, weights: { x: 1 } }],
});

function fitted(rows: Rows, model = MODEL): Fit {
  const outcome = fitModel(model, rows);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  return outcome.fit;
}

function ownOf(rows: Rows, model = MODEL): AveragedPrediction {
  return averagedPredictions(fitted(rows, model), [ofGroup('g0')], 0.95)![0]!;
}

/** Of the smallest trial to a fair one; true differences from none to large. */
const planted = fc.record({
  groups: fc.integer({ min: 5, max: 16 }),
  each: fc.integer({ min: 4, max: 8 }),
  sd: fc.constantFrom(0, 0.3, 1, 4),
  seed: fc.nat(1e6),
});
const RUNS = { numRuns: 25, seed: 11 };

/** The lattice is laid around a mode that is found to 1e-4 and turns with its axes. */
const CLOSE = 2e-3;

describe('averaged predictions', () => {
  it('follow a change of unit and of sign', () => {
    fc.assert(
      fc.property(planted, fc.constantFrom(-1, 1e-3, -250, 1e6), (about, unit) => {
        const rows = rowsOf(about);
        const own = ownOf(rows);
        const other = ownOf({ ...rows, y: rows.y.map((value) => unit * value) });
        const size = Math.abs(unit) * own.standardError;
        const ends = own.interval.map((end) => unit * end).sort((a, b) => a - b);
        expect(Math.abs(other.estimate - unit * own.estimate) / size).toBeLessThan(CLOSE);
        expect(Math.abs(other.standardError / size - 1)).toBeLessThan(CLOSE);
        other.interval.forEach((end, i) => {
          expect(Math.abs(end - ends[i]!) / size).toBeLessThan(CLOSE);
        });
        const above = own.chanceAbove(1);
        expect(
          Math.abs((unit > 0 ? other.chanceAbove(unit) : 1 - other.chanceAbove(unit)) - above),
        ).toBeLessThan(CLOSE);
      }),
      RUNS,
    );
  });

  it('do not know the order of the rows, nor the names of the groups', () => {
    fc.assert(
      fc.property(planted, fc.nat(1e6), (about, seed) => {
        const rows = rowsOf(about);
        const stream = createStream(seed);
        const order = rows.y
          .map((_, i) => [stream.uniform(), i] as const)
          .sort(([a], [b]) => a - b)
          .map(([, i]) => i);
        const own = ownOf(rows);
        const other = ownOf({
          group: order.map((i) => rows.group[i]!),
          x: order.map((i) => rows.x[i]!),
          y: order.map((i) => rows.y[i]!),
        });
        expect(Math.abs(other.estimate - own.estimate) / own.standardError).toBeLessThan(CLOSE);
        expect(Math.abs(other.standardError / own.standardError - 1)).toBeLessThan(CLOSE);
      }),
      RUNS,
    );
  });

  it('lie within their interval; the chance falls from one to none and is a tail at each end', () => {
    fc.assert(
      fc.property(planted, (about) => {
        const { estimate, standardError, interval, chanceAbove } = ownOf(rowsOf(about));
        const [low, high] = interval;
        for (const value of [estimate, standardError, low, high]) expect(Number.isFinite(value)).toBe(true);
        expect(low).toBeLessThan(estimate);
        expect(high).toBeGreaterThan(estimate);
        expect(chanceAbove(low)).toBeCloseTo(0.975, 5);
        expect(chanceAbove(high)).toBeCloseTo(0.025, 5);
        const steps = Array.from({ length: 41 }, (_, i) => chanceAbove(estimate + (i - 20) * standardError));
        steps.slice(1).forEach((chance, i) => {
          expect(chance).toBeLessThanOrEqual(steps[i]!);
        });
        expect(steps[0]).toBeGreaterThan(0.99);
        expect(steps[40]).toBeLessThan(0.01);
      }),
      RUNS,
    );
  });
});

describe('against the variances as estimated', () => {
  /** Width over that of `combine`, which takes them as known, over cohorts. */
  const ratios = (about: Omit<Planted, 'seed'>, cohorts: number) =>
    Array.from({ length: cohorts }, (_, seed) => {
      const fit = fitted(rowsOf({ ...about, seed }));
      const [low, high] = averagedPredictions(fit, [ofGroup('g0')], 0.95)![0]!.interval;
      const known = fit.combine(ofGroup('g0')).interval;
      return (high - low) / (known[1] - known[0]);
    });

  it('wider where groups are few', () => {
    const few = ratios({ groups: 6, each: 6, sd: 0.7 }, 20);
    expect(few.filter((ratio) => ratio > 1).length).toBeGreaterThanOrEqual(18);
  });

  it('the same where they are very many', () => {
    for (const ratio of ratios({ groups: 2000, each: 8, sd: 2 }, 1))
      expect(Math.abs(ratio - 1)).toBeLessThan(0.02);
  });

  it('finite where a variance is estimated as exactly zero, and wider than if zero were known', () => {
    const model: Model = {
      ...MODEL,
      random: [{ group: 'group', effects: ['intercept', 'x'], covariance: 'diagonal' }],
    };
    let zero = 0;
    for (let seed = 0; seed < 20; seed++) {
      const fit = fitted(rowsOf({ groups: 8, each: 6, sd: 0, seed }), model);
      if (fit.result.random[0]!.sd[1] !== 0) continue;
      zero++;
      const [own] = averagedPredictions(fit, [ofGroup('g0')], 0.95)!;
      const { interval, estimate, standardError } = own!;
      for (const value of [...interval, estimate, standardError]) expect(Number.isFinite(value)).toBe(true);
      const known = fit.combine(ofGroup('g0')).interval;
      expect(interval[1] - interval[0]).toBeGreaterThan(known[1] - known[0]);
    }
    // Half of all samples lie at the edge where the true variance is zero (Self and Liang 1987, JASA 82, 605-610).
    expect(zero).toBeGreaterThan(4);
  });
});

describe('over cohorts of few groups, whose true slopes are known', () => {
  it('hold the truth as often as they say, where the variances as estimated do so too seldom', () => {
    const COHORTS = 120;
    const averaged: number[] = [];
    const known: number[] = [];
    for (let seed = 0; seed < COHORTS; seed++) {
      const slopes: number[] = [];
      const fit = fitted(rowsOf({ groups: 8, each: 6, sd: 0.5, seed: 1000 + seed }, slopes));
      const asked = slopes.map((_, g) => ofGroup(`g${g}`));
      const held = (intervals: readonly (readonly [number, number])[]) =>
        intervals.filter(([low, high], g) => low <= slopes[g]! && slopes[g]! <= high).length / slopes.length;
      averaged.push(held(averagedPredictions(fit, asked, 0.95)!.map(({ interval }) => interval)));
      known.push(held(asked.map((one) => fit.combine(one).interval)));
    }
    const mean = (shares: number[]) => shares.reduce((sum, share) => sum + share, 0) / COHORTS;
    const error = (shares: number[]) =>
      Math.sqrt(shares.reduce((sum, share) => sum + (share - mean(shares)) ** 2, 0)) / COHORTS;
    expect(mean(averaged)).toBeGreaterThan(0.95 - 3 * error(averaged));
    // So that the test could fail.
    expect(mean(known)).toBeLessThan(0.95 - 3 * error(known));
  });
});

describe('null, as promised', () => {
  const rows = rowsOf({ groups: 8, each: 6, sd: 1, seed: 3 });
  const fixed: Combination = { fixed: { x: 1 } };

  it('without random effects', () => {
    expect(averagedPredictions(fitted(rows, { ...MODEL, random: [] }), [fixed], 0.95)).toBeNull();
  });

  it('not fitted by REML', () => {
    expect(
      averagedPredictions(fitted(rows, { ...MODEL, criterion: 'ml' }), [ofGroup('g0')], 0.95),
    ).toBeNull();
  });

  it('residuals that are not alike', () => {
    const model: Model = { ...MODEL, residual: { variance: { by: 'arm' } } };
    const arms = { ...rows, arm: rows.x.map((x) => (x === 1 ? 'after' : 'before')) };
    expect(averagedPredictions(fitted(arms, model), [ofGroup('g0')], 0.95)).toBeNull();
  });

  it('too few rows: as many as coefficients and twice the elements of the covariances', () => {
    // 8 rows, 2 coefficients, 3 elements: nothing is left for the residual.
    const few = rowsOf({ groups: 2, each: 4, sd: 1, seed: 4 });
    expect(averagedPredictions(fitted(few), [ofGroup('g0')], 0.95)).toBeNull();
    const enough = rowsOf({ groups: 3, each: 4, sd: 1, seed: 4 });
    expect(averagedPredictions(fitted(enough), [ofGroup('g0')], 0.95)).not.toBeNull();
  });

  it('throws for a group that is not there', () => {
    expect(() => averagedPredictions(fitted(rows), [ofGroup('nobody')], 0.95)).toThrow('no level nobody');
  });
});
