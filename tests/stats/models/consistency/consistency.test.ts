/**
 * Consistency as an outcome, against a likelihood written differently (both random effects summed over a dense grid of
 * plain normal densities), general-purpose software where the subjects' spreads are equal
 * (tests/reference/models/consistency), planted truth, and requests that cannot be fitted.
 */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { createStream, type Stream } from '../../../../src/numerics/index.ts';
import {
  type ConsistencyModel,
  type ConsistencyResult,
  type DataColumns,
  fitConsistency,
} from '../../../../src/stats/index.ts';
import { MODELS, readColumns, relative } from '../golden.ts';

const TRUTH = { x: 2, wild: 0.3, spread: 0.4, meanSd: 1, correlation: 0.6, sd: 1.5 };

function simulate(stream: Stream, golfers: number, swings: number, spread = TRUTH.spread) {
  const out = { y: [] as number[], x: [] as number[], kind: [] as string[], golfer: [] as string[] };
  const logSd: number[] = [];
  for (let g = 0; g < golfers; g++) {
    const z = stream.normal();
    const own = TRUTH.correlation * z + Math.sqrt(1 - TRUTH.correlation ** 2) * stream.normal();
    logSd.push(Math.log(TRUTH.sd) + spread * z);
    for (let i = 0; i < swings; i++) {
      const x = stream.normal();
      const wild = stream.uniform() < 0.5;
      out.x.push(x);
      out.kind.push(wild ? 'wild' : 'calm');
      out.golfer.push(`g${100 + g}`);
      out.y.push(
        30 +
          TRUTH.x * x +
          TRUTH.meanSd * own +
          Math.exp(logSd[g]! + (wild ? TRUTH.wild : 0)) * stream.normal(),
      );
    }
  }
  return { data: out, logSd };
}

const model: ConsistencyModel = {
  outcome: 'y',
  fixed: ['intercept', { column: 'x' }],
  spread: { fixed: ['intercept', { column: 'kind', levels: ['calm', 'wild'] }] },
  group: 'golfer',
};
function fitted(data: DataColumns, extra: Partial<ConsistencyModel> = {}): ConsistencyResult {
  const outcome = fitConsistency({ ...model, ...extra }, data);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  expect(outcome.result.diagnosis.converged).toBe(true);
  return outcome.result;
}

describe('against a sum over a grid of both random effects', () => {
  const { data } = simulate(createStream(36), 9, 7);
  const result = fitted(data);
  const natural = [
    ...result.fixed.map(({ estimate }) => estimate),
    ...result.spread.map(({ estimate }) => estimate),
    result.groupMeanSd.estimate,
    result.groupLogSd.estimate,
    result.correlation.estimate,
  ];
  const byGolfer = new Map<string, number[]>();
  data.golfer.forEach((golfer, i) => {
    byGolfer.set(golfer, [...(byGolfer.get(golfer) ?? []), i]);
  });
  const STEPS = 90;
  const REACH = 6;
  const grid = Array.from({ length: STEPS + 1 }, (_, k) => -REACH + (2 * REACH * k) / STEPS);

  /** Sum over the grid of independent standard normals (a, b): effect on the mean sd a, on the log SD r a + ... b. */
  function logLikelihood([b0, b1, t0, t1, meanSd, spreadSd, r]: number[]): number {
    let log = 0;
    for (const rows of byGolfer.values()) {
      const residual = rows.map((i) => data.y[i]! - b0! - b1! * data.x[i]!);
      const logSd = rows.map((i) => t0! + (data.kind[i] === 'wild' ? t1! : 0));
      let total = 0;
      for (const a of grid)
        for (const b of grid) {
          const mean = meanSd! * a;
          const shift = spreadSd! * (r! * a + Math.sqrt(1 - r! ** 2) * b);
          let exponent = -0.5 * (a * a + b * b);
          for (let j = 0; j < rows.length; j++) {
            const s = logSd[j]! + shift;
            exponent -= s + 0.5 * ((residual[j]! - mean) * Math.exp(-s)) ** 2;
          }
          total += Math.exp(exponent);
        }
      const cell = ((2 * REACH) / STEPS) ** 2;
      log += Math.log((total * cell) / (2 * Math.PI)) - 0.5 * rows.length * Math.log(2 * Math.PI);
    }
    return log;
  }

  it('the log likelihood, and its flatness in every natural parameter', () => {
    expect(Math.abs(result.logLikelihood - logLikelihood(natural))).toBeLessThan(1e-6);
    natural.forEach((_, i) => {
      const at = (by: number) => logLikelihood(natural.map((value, j) => (j === i ? value + by : value)));
      const slope = (8 * (at(2e-3) - at(-2e-3)) - (at(4e-3) - at(-4e-3))) / 24e-3;
      expect(Math.abs(slope)).toBeLessThan(1e-4);
    });
  }, 60_000);
  it('counts seven parameters', () => {
    expect(result.aic).toBeCloseTo(14 - 2 * result.logLikelihood, 9);
    expect(result.bic).toBeCloseTo(7 * Math.log(63) - 2 * result.logLikelihood, 9);
  });
  it('more points of the quadrature change nothing', () => {
    expect(
      Math.abs(fitted(data, { quadraturePoints: 41 }).logLikelihood - result.logLikelihood),
    ).toBeLessThan(1e-6);
  });
  it('the order of the rows, the unit and the origin of the outcome change what they should', () => {
    const order = createStream(2).shuffle(data.y.map((_, i) => i));
    const turned = Object.fromEntries(
      Object.entries(data).map(([name, column]) => [name, order.map((i) => column[i]!)]),
    );
    const scaled = fitted({ ...turned, y: (turned.y as number[]).map((y) => 100 * y - 7e3) });
    expect(relative(scaled.groupLogSd.estimate, result.groupLogSd.estimate)).toBeLessThan(1e-6);
    expect(relative(scaled.groupMeanSd.estimate, 100 * result.groupMeanSd.estimate)).toBeLessThan(1e-6);
    expect(scaled.spread[0]!.estimate).toBeCloseTo(result.spread[0]!.estimate + Math.log(100), 7);
    expect(scaled.logLikelihood).toBeCloseTo(result.logLikelihood - 63 * Math.log(100), 6);
    scaled.predictions.forEach(({ level, sd, sdInterval }, i) => {
      const plain = result.predictions[i]!;
      expect(level).toBe(plain.level);
      expect(relative(sd, 100 * plain.sd)).toBeLessThan(1e-6);
      expect(relative(sdInterval[1], 100 * plain.sdInterval[1])).toBeLessThan(1e-5);
    });
  });
});

describe('against general-purpose software where subjects do not differ in spread', () => {
  const expected = JSON.parse(readFileSync(`${MODELS}consistency/consistency_expected.json`, 'utf8'));
  const data = readColumns(`${MODELS}orthodont.csv`);
  const growth: ConsistencyModel = {
    outcome: 'distance',
    fixed: [
      'intercept',
      { column: 'age' },
      { column: 'Sex', levels: ['Female', 'Male'] },
      { product: ['age', 'Sex'] },
    ],
    spread: { fixed: ['intercept', { column: 'Sex', levels: ['Female', 'Male'] }] },
    group: 'Subject',
  };
  it.each([
    ['by sex', growth, expected.bySexAgain.logLikelihood],
    ['by sex, the other program', growth, expected.bySex.logLikelihood],
    [
      'by sex and age',
      { ...growth, spread: { fixed: [...growth.spread.fixed, { column: 'age' }] } },
      expected.bySexAndAge.logLikelihood,
    ],
  ] as const)('%s', (_, asked, logLikelihood) => {
    const outcome = fitConsistency(asked, data);
    if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
    expect(Math.abs(outcome.result.differInSpread.logLikelihoodIfNot - logLikelihood)).toBeLessThan(1e-6);
    expect(outcome.result.logLikelihood).toBeGreaterThanOrEqual(logLikelihood - 1e-6);
  });
});

describe('planted truth', () => {
  const { data, logSd } = simulate(createStream(8), 60, 15);
  const result = fitted(data);
  it('every parameter lies within 3.5 of its standard errors', () => {
    const check = (found: { estimate: number; standardError: number | null }, truth: number) => {
      expect(Math.abs(found.estimate - truth) / found.standardError!).toBeLessThan(3.5);
    };
    check(result.fixed[1]!, TRUTH.x);
    check(result.spread[0]!, Math.log(TRUTH.sd));
    check(result.spread[1]!, TRUTH.wild);
    check(result.groupMeanSd, TRUTH.meanSd);
    check(result.groupLogSd, TRUTH.spread);
    check(result.correlation, TRUTH.correlation);
    expect(result.differInSpread.pValue).toBeLessThan(1e-6);
  });
  it("the intervals of the golfers' own SDs hold the truth about as often as they say", () => {
    const wildShare = result.predictions.map(({ level }) => {
      const rows = data.golfer.flatMap((golfer, i) => (golfer === level ? [i] : []));
      return rows.filter((i) => data.kind[i] === 'wild').length / rows.length;
    });
    const held = result.predictions.filter(({ sdInterval }, g) => {
      const truth = Math.exp(logSd[g]! + TRUTH.wild * wildShare[g]!);
      return sdInterval[0] <= truth && truth <= sdInterval[1];
    }).length;
    // 60 intervals at 95 %: fewer than 50 has a chance below one in ten thousand.
    expect(held).toBeGreaterThanOrEqual(50);
    // And they are worth having: narrower than a guess from the spread of the golfers alone.
    const guess = 2 * 1.96 * TRUTH.spread;
    const width = result.predictions.map(({ sdInterval: [low, high] }) => Math.log(high / low));
    expect(width.reduce((sum, w) => sum + w, 0) / 60).toBeLessThan(0.9 * guess);
  });
  it('golfers with one and the same spread are said to be alike', () => {
    // The same deviations for every golfer in another order: neither means nor SDs differ at all.
    const shuffle = createStream(11);
    const deviations = [-1.5, -0.7, -0.2, 0.2, 0.7, 1.5];
    const golfers = Array.from({ length: 8 }, (_, g) => `g${g}`);
    const y = golfers.flatMap(() => shuffle.shuffle(deviations).map((deviation) => 20 + deviation));
    const golfer = golfers.flatMap((name) => deviations.map(() => name));
    const { diagnosis, differInSpread, groupLogSd, correlation, predictions } = fitted(
      { y, golfer },
      { fixed: ['intercept'], spread: { fixed: ['intercept'] } },
    );
    expect(diagnosis.boundary).toEqual([
      'The means of the groups are estimated not to differ.',
      'The residual SDs of the groups are estimated not to differ: they scatter no more than chance alone would make them.',
    ]);
    expect(differInSpread).toMatchObject({ statistic: 0, pValue: 1 });
    for (const none of [groupLogSd, correlation])
      expect(none).toEqual({ estimate: 0, standardError: null, interval: null });
    // By maximum likelihood the one SD is the root of the mean square.
    const sd = Math.sqrt(deviations.reduce((sum, d) => sum + d * d, 0) / deviations.length);
    for (const prediction of predictions) {
      expect(prediction.sd).toBeCloseTo(sd, 8);
      expect(prediction.sdRatio).toBe(1);
    }
  });
  it('golfers who differ by chance alone: seldom a low tail probability, and a correlation at its limit is said', () => {
    const results = Array.from({ length: 8 }, (_, seed) =>
      fitted(simulate(createStream(600 + seed), 12, 6, 0).data),
    );
    // Under equality one in a hundred lies below 1 %: not three of eight.
    expect(results.filter(({ differInSpread }) => differInSpread.pValue < 0.01).length).toBeLessThan(3);
    const limits = results.filter(({ correlation }) => Math.abs(correlation.estimate) === 1);
    expect(limits.length).toBeGreaterThan(0);
    for (const { diagnosis, correlation } of limits) {
      expect(diagnosis.boundary.join(' ')).toMatch(/correlation of a group's mean .* limit/);
      expect(correlation.interval).toBeNull();
    }
  });
  it('a ratio of SDs with its interval can be asked for', () => {
    const outcome = fitConsistency(model, data);
    if (!outcome.ok) throw new Error('expected a fit');
    const wild = outcome.combine('spread', { 'kind=wild': 1 });
    expect(wild.estimate).toBe(outcome.result.spread[1]!.estimate);
    expect(wild.standardError).toBeCloseTo(outcome.result.spread[1]!.standardError, 12);
    expect(() => outcome.combine('spread', { kind: 1 })).toThrow(/no spread term kind/);
  });
});

describe('requests that cannot be fitted', () => {
  const { data } = simulate(createStream(4), 5, 4);
  const refused = (extra: Partial<ConsistencyModel>, columns: DataColumns = data) => {
    const outcome = fitConsistency({ ...model, ...extra }, columns);
    if (outcome.ok) throw new Error('expected a refusal');
    for (const { found, expected, remedy } of outcome.problems)
      expect([found, expected, remedy].every((text) => text !== '')).toBe(true);
    return outcome.problems.map(({ kind, where }) => `${kind} ${where}`);
  };
  it.each([
    [{ spread: { fixed: [] } }, ['bad-model /spread/fixed']],
    [{ spread: { fixed: [{ column: 'x' }] } }, ['bad-model /spread/fixed']],
    [{ spread: { fixed: ['intercept', { column: 'X1' }] } }, ['unknown-column /spread/fixed/1/column']],
    [{ group: 'golfr' }, ['unknown-column /group']],
    [
      { spread: { fixed: ['intercept', { column: 'x' }, { column: 'twice' }] } },
      ['collinear /spread/fixed/2'],
    ],
    [{ group: 'one' }, ['one-level /group']],
    [{ group: 'each' }, ['too-many-effects /group']],
    [{ quadraturePoints: 2 }, ['bad-model /quadraturePoints']],
    [{ level: 95 }, ['bad-model /level']],
    [{ outcome: 'same' }, ['constant-outcome /outcome']],
  ] as [Partial<ConsistencyModel>, string[]][])('%j', (extra, expected) => {
    const columns = {
      ...data,
      twice: data.x.map((x) => 2 * x),
      one: data.x.map(() => 'a'),
      each: data.x.map((_, i) => `r${i}`),
      same: data.x.map(() => 4),
    };
    expect(refused(extra, columns)).toEqual(expected);
  });
});
