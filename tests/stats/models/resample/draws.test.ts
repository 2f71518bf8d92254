/** The law of drawn sums against whole matrices, draws by index, failures counted, coverage of a planted truth. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { chiSquaredDraw, createStream } from '../../../../src/numerics/index.ts';
import {
  type DataColumns,
  drawIntervals,
  drawRefits,
  drawRefitsOnWorkers,
  type Model,
  type PreparedModel,
  prepareModel,
} from '../../../../src/stats/index.ts';
import { buildDesign, type Design } from '../../../../src/stats/models/design/design.ts';

import { prepareSums } from '../../../../src/stats/models/resample/draw-sums.ts';
import { MODELS, readColumns } from '../golden.ts';

function prepared(model: Model, data: DataColumns): PreparedModel {
  const outcome = prepareModel(model, data);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  return outcome.prepared;
}

const sleepModel: Model = JSON.parse(readFileSync(`${MODELS}sleepstudy_slope_REML.json`, 'utf8')).model;
const sleep = readColumns(`${MODELS}sleepstudy.csv`);
const reference = JSON.parse(readFileSync(`${MODELS}resampling/reference.json`, 'utf8'));

describe('drawn chi-squared numbers', () => {
  it.each([0.5, 1, 3, 144])('df %d: mean df and variance 2 df', (df) => {
    const stream = createStream(2, df);
    const draws = Array.from({ length: 20000 }, () => chiSquaredDraw(stream, df));
    const mean = draws.reduce((sum, x) => sum + x, 0) / draws.length;
    const variance = draws.reduce((sum, x) => sum + (x - mean) ** 2, 0) / draws.length;
    expect(Math.abs(mean - df)).toBeLessThan(4 * Math.sqrt((2 * df) / draws.length));
    // Var of the sample variance: mu4 - var^2 = 12 df (df + 4) - 4 df^2 over n.
    expect(Math.abs(variance - 2 * df)).toBeLessThan(
      5 * Math.sqrt((12 * df * (df + 4) - 4 * df * df) / draws.length),
    );
  });
});

describe('sums drawn without rows', () => {
  // Two nested stages, unbalanced, one inner group with a single row (a pivot that vanishes).
  const g = 'AAAAAAABBBBBCCCCCCCC'.split('');
  const h = 'aaabbbcddeeeffffgggg'.split('');
  const x = [1, 2, 4, 1, 3, 5, 2, 2, 6, 1, 4, 5, 3, 1, 2, 6, 2, 2, 5, 7];
  const model: Model = {
    outcome: 'y',
    fixed: ['intercept', { column: 'x' }],
    random: [
      { group: 'g', effects: ['intercept'] },
      { group: ['g', 'h'], effects: ['intercept', 'x'] },
    ],
  };
  const design = buildDesign(model, { y: x.map((value, i) => value + ((i * 7) % 5)), x, g, h }) as Design;
  const { system, shape, places } = design.assembled;
  const theta = Float64Array.from({ length: shape.starts.at(-1)! }, (_, i) => [0.8, 0.6, -0.3, 0.5][i]!);
  const factors = system.stages.map(({ effects }) => new Float64Array(effects * effects));
  shape.fillFactors(
    theta,
    factors,
    system.stages.map(({ effects }) => effects),
  );

  it('have mean zero and the covariance W V W that rows would give, and y y the trace of V', () => {
    const n = design.rows;
    // W column by column, in the order stage by stage, node by node, then the fixed columns; V from its definition.
    const columns: Float64Array[] = [];
    const V = Array.from({ length: n }, (_, i) =>
      Float64Array.from({ length: n }, (__, j) => (i === j ? 1 : 0)),
    );
    system.stages.forEach(({ nodes, effects: q }, s) => {
      const t = places.findIndex(({ stage }) => stage === s);
      const { values, group } = design.terms[t]!;
      const grouping = design.groupings.find(({ name }) => name === group)!;
      const nodeOf = (i: number) => places[t]!.node[grouping.at[i]!]!;
      for (let node = 0; node < nodes; node++)
        for (let a = 0; a < q; a++)
          columns.push(
            Float64Array.from({ length: n }, (_, i) => (nodeOf(i) === node ? values[i * q + a]! : 0)),
          );
      const sigma = shape.covariance(theta, design.assembled.shapeTerm[t]!);
      for (let i = 0; i < n; i++)
        for (let j = 0; j < n; j++)
          if (nodeOf(i) === nodeOf(j))
            for (let a = 0; a < q; a++)
              for (let b = 0; b < q; b++)
                V[i]![j] = V[i]![j]! + values[i * q + a]! * sigma[a * q + b]! * values[j * q + b]!;
    });
    const p = design.fixedNames.length;
    for (let a = 0; a < p; a++) columns.push(design.columns.fixed.slice(a * n, (a + 1) * n));
    const w = columns.length;
    const draw = prepareSums(system);
    const D = p + 1;
    const sums = () => [
      ...system.stages.flatMap(({ width }, s) =>
        Array.from(system.blocks[s]!).filter((_, at) => at % width === width - 1),
      ),
      ...Array.from({ length: p }, (_, a) => system.corner[a * D + p]!),
    ];
    const stream = createStream(8);
    const draws = 20000;
    const mean = new Float64Array(w);
    const covariance = new Float64Array(w * w);
    let square = 0;
    for (let k = 0; k < draws; k++) {
      draw(stream, factors);
      const s = sums();
      square += system.corner[D * D - 1]! / draws;
      for (let i = 0; i < w; i++) {
        mean[i] = mean[i]! + s[i]! / draws;
        for (let j = 0; j < w; j++) covariance[i * w + j] = covariance[i * w + j]! + (s[i]! * s[j]!) / draws;
      }
    }
    let trace = 0;
    for (let i = 0; i < n; i++) trace += V[i]![i]!;
    expect(Math.abs(square / trace - 1)).toBeLessThan(0.03);
    const product = (one: Float64Array, other: Float64Array) => {
      let sum = 0;
      for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) sum += one[i]! * V[i]![j]! * other[j]!;
      return sum;
    };
    const expected = columns.map((one) => columns.map((other) => product(one, other)));
    for (let i = 0; i < w; i++) {
      expect(Math.abs(mean[i]!)).toBeLessThan(5 * Math.sqrt(expected[i]![i]! / draws));
      for (let j = 0; j < w; j++)
        expect(Math.abs(covariance[i * w + j]! - expected[i]![j]!)).toBeLessThan(
          5.5 * Math.sqrt((expected[i]![i]! * expected[j]![j]! + expected[i]![j]! ** 2) / draws),
        );
    }
  });
});

describe('draws', () => {
  const ready = prepared(sleepModel, sleep);

  it('depend on the seed and their index alone, and are the same on any number of workers', async () => {
    const task = { of: 'outcomes', draws: 40, seed: 9, tests: 'satterthwaite' } as const;
    const all = drawRefits(ready, task);
    const first = drawRefits(ready, { ...task, draws: 10 });
    expect(all.values.slice(0, first.values.length)).toEqual(first.values);
    for (const workers of [1, 3]) {
      const shared = await drawRefitsOnWorkers(ready, task, workers);
      expect(shared.values).toEqual(all.values);
      expect(shared.tests).toEqual(all.tests);
    }
    expect(drawRefits(ready, { ...task, seed: 10 }).values[0]).not.toBe(all.values[0]);
  }, 60_000);

  it('of a parametric bootstrap have the spread the reference found (1,000 draws each)', () => {
    const intervals = drawIntervals(drawRefits(ready, { of: 'outcomes', draws: 4000, seed: 4 }));
    // The reference's order: intercept, Days, SDs, correlation, residual SD; both have Monte Carlo error.
    intervals.forEach(({ standardError, interval }, i) => {
      expect(Math.abs(standardError / reference.bootstrap_sd[i] - 1)).toBeLessThan(0.1);
      const slack = 0.35 * reference.bootstrap_sd[i];
      expect(Math.abs(interval[0] - reference.bootstrap_lower[i])).toBeLessThan(slack);
      expect(Math.abs(interval[1] - reference.bootstrap_upper[i])).toBeLessThan(slack);
    });
  });

  it('basic intervals mirror percentile ones; sums of fixed effects are asked for by weights', () => {
    const draws = drawRefits(ready, { of: 'outcomes', draws: 200, seed: 4 });
    const sum = { kind: 'sum', weights: { intercept: 1, Days: 9 } } as const;
    const [percentile] = drawIntervals(draws, [sum]);
    const [basic] = drawIntervals(draws, [sum], 'basic');
    expect(percentile!.name).toBe('1 x intercept + 9 x Days');
    expect(basic!.interval[0]).toBeCloseTo(2 * percentile!.centre - percentile!.interval[1], 10);
    expect(basic!.interval[1]).toBeCloseTo(2 * percentile!.centre - percentile!.interval[0], 10);
    expect(() => drawIntervals(draws, [{ kind: 'fixed', term: 'Day' }])).toThrow(/does not estimate Day/);
  });

  it('count fits that failed, and say so', () => {
    // Four golfers, two in each arm: a draw of groups from one arm alone cannot tell the arms apart.
    const stream = createStream(1);
    const golfer = Array.from({ length: 40 }, (_, i) => `G${Math.floor(i / 10)}`);
    const arm = golfer.map((name) => (name < 'G2' ? 'drill' : 'usual'));
    const y = golfer.map((name) => Number(name.slice(1)) ** 2 + stream.normal());
    const model: Model = {
      outcome: 'y',
      fixed: ['intercept', { column: 'arm', levels: ['usual', 'drill'] }],
      random: [{ group: 'golfer', effects: ['intercept'] }],
    };
    const draws = drawRefits(prepared(model, { y, arm, golfer }), { of: 'groups', draws: 300, seed: 2 });
    const alone = Array.from({ length: 300 }, (_, k) => {
      const indices = createStream(2, k);
      const drawn = Array.from({ length: 4 }, () => (indices.integer(0, 3) < 2 ? 'drill' : 'usual'));
      return new Set(drawn).size === 1 ? k : -1;
    }).filter((k) => k >= 0);
    expect(alone.length).toBeGreaterThan(10);
    expect(draws.failed).toEqual(alone);
    const [interval] = drawIntervals(draws, [{ kind: 'fixed', term: 'arm=drill' }]);
    expect(interval!.draws).toBe(300 - alone.length);
    expect(interval!.notes[0]).toMatch(new RegExp(`^${alone.length} of 300 fits did not converge`));
  });

  it('of groups are refused for crossed factors', () => {
    const model: Model = JSON.parse(readFileSync(`${MODELS}penicillin_REML.json`, 'utf8')).model;
    const crossed = prepared(model, readColumns(`${MODELS}penicillin.csv`));
    expect(() => drawRefits(crossed, { of: 'groups', draws: 2, seed: 1 })).toThrow(/nested/);
    const { failed, values } = drawRefits(crossed, { of: 'outcomes', draws: 20, seed: 1 });
    expect(failed).toEqual([]);
    expect(values.every(Number.isFinite)).toBe(true);
  });
});

describe('a planted truth', () => {
  it('is covered by percentile intervals about as often as they say', () => {
    const data = {
      golfer: Array.from({ length: 240 }, (_, i) => `G${Math.floor(i / 8)}`),
      session: Array.from({ length: 240 }, (_, i) => (i % 8 < 4 ? 'a' : 'b')),
    };
    const model: Model = {
      outcome: 'y',
      fixed: ['intercept', { column: 'session', levels: ['a', 'b'] }],
      random: [{ group: 'golfer', effects: ['intercept', 'session'] }],
    };
    const golfers = [...new Set(data.golfer)];
    let covered = 0;
    const trials = 120;
    for (let trial = 0; trial < trials; trial++) {
      // Outcomes are drawn here row by row, not by the code under test.
      const stream = createStream(77, trial);
      const means = new Map(golfers.map((name) => [name, stream.normal(0, 1.5)]));
      const changes = new Map(golfers.map((name) => [name, stream.normal(0.4, 0.7)]));
      const y = data.golfer.map(
        (name, i) => means.get(name)! + (data.session[i] === 'b' ? changes.get(name)! : 0) + stream.normal(),
      );
      const draws = drawRefits(prepared(model, { ...data, y }), { of: 'outcomes', draws: 120, seed: trial });
      const [interval] = drawIntervals(draws, [{ kind: 'fixed', term: 'session=b' }]);
      if (interval!.interval[0] < 0.4 && interval!.interval[1] > 0.4) covered++;
    }
    // 95 % less what 120 draws and 30 golfers cost; three binomial SEs of 120 trials are 6 %.
    expect(covered / trials).toBeGreaterThan(0.86);
    expect(covered / trials).toBeLessThan(1);
  });
});
