import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createStream } from '../../../src/numerics/index.ts';
import {
  baselineCorrectedTau,
  changeInSeries,
  chartLimits,
  chartSignals,
  countPhaseAssignments,
  countStartingPoints,
  detectableChange,
  drawPhaseAssignment,
  drawStartingPoints,
  eachPhaseAssignment,
  eachStartingPoints,
  kendall,
  LIMIT_FACTOR,
  lagOneAutocorrelation,
  movingRanges,
  nonOverlap,
  occasionsForAssignments,
  pooledSd,
  RANGE_FACTOR,
  randomisationTest,
  rankTrend,
  theilSen,
} from '../../../src/stats/index.ts';

/** Made by tests/reference/single-case/single-case.py; the software and its version stand in the file. */
const reference = JSON.parse(
  readFileSync(new URL('../../reference/single-case/expected.json', import.meta.url), 'utf8'),
);
const SERIES = [3.1, 2.4, 4.0, 3.3, 2.2, 3.9, 4.4, 5.1, 6.2, 4.9, 5.5, 6.8, 6.1, 5.2];
const SECOND = [7.0, 6.1, 6.6, 7.4, 6.9, 7.3, 9.1, 8.2, 8.8, 9.6, 8.9, 9.9, 8.1, 9.0];
const inB = (n: number, start: number) => Array.from({ length: n }, (_, i) => i >= start);

describe('how many ways a design could have fallen', () => {
  it('C(N - km + k - 1, k - 1) (Edgington and Onghena 2007; Bulte and Onghena 2008)', () => {
    expect(countPhaseAssignments(20, 2, 5)).toBe(11);
    expect(countPhaseAssignments(24, 4, 4)).toBe(165);
    expect(countPhaseAssignments(28, 2, 4)).toBe(21);
    expect(countPhaseAssignments(9, 2, 5)).toBe(0);
  });
  it('of a multiple baseline: N! x the product of start points', () => {
    expect(
      countStartingPoints(
        [
          [4, 6],
          [8, 10],
          [12, 14],
        ],
        'drawn',
      ),
    ).toBe(6 * 27);
    expect(
      countStartingPoints(
        [
          [4, 6],
          [8, 9],
        ],
        'own',
      ),
    ).toBe(6);
  });
  it('goes through as many different ways as it counts, each of them allowed', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 4 }),
        fc.integer({ min: 1, max: 3 }),
        fc.integer({ min: 0, max: 8 }),
        (k, m, more) => {
          const n = k * m + more;
          const seen = new Set<string>();
          eachPhaseAssignment(n, k, m, (starts) => {
            const edges = [0, ...starts, n];
            expect(edges.slice(1).every((edge, i) => edge - edges[i]! >= m)).toBe(true);
            seen.add(starts.join());
          });
          expect(seen.size).toBe(countPhaseAssignments(n, k, m));
        },
      ),
      { seed: 4 },
    );
  });
  it('draws every way equally often', () => {
    const stream = createStream(5);
    const counts = new Map<string, number>();
    for (let i = 0; i < 8_000; i++) {
      const key = drawPhaseAssignment(9, 3, 2, stream).join();
      counts.set(key, (counts.get(key) ?? 0) + 1);
    }
    expect(counts.size).toBe(10);
    // 800 of each; chi-squared of 9 degrees of freedom is below 27.9 with chance 0.999.
    const distance = [...counts.values()].reduce((sum, n) => sum + (n - 800) ** 2 / 800, 0);
    expect(distance).toBeLessThan(27.9);
    const starts = drawStartingPoints(
      [
        [4, 6],
        [8, 9],
      ],
      'drawn',
      stream,
    );
    const ways = new Set<string>();
    eachStartingPoints(
      [
        [4, 6],
        [8, 9],
      ],
      'drawn',
      (way) => ways.add(way.join()),
    );
    expect(ways.size).toBe(12);
    expect(ways.has(starts.join())).toBe(true);
  });
  it('how many sessions let p reach 0.05', () => {
    expect(occasionsForAssignments(20, 2, 5)).toBe(29);
    expect(countPhaseAssignments(29, 2, 5)).toBe(20);
  });
});

describe('the randomisation test', () => {
  it.each([
    ['AB', [6], 3],
    ['ABAB', [4, 8, 11], 2],
  ] as const)('%s: as by brute force over all labelings', (pattern, starts, least) => {
    const expected = reference.phases[pattern];
    const design = { kind: 'phases', values: SERIES, starts, least } as const;
    const test = randomisationTest(design);
    expect(test.ways).toBe(expected.ways);
    expect(test.difference).toBeCloseTo(expected.difference, 12);
    expect(test.p).toBeCloseTo(expected.p, 12);
    expect(test.smallestP).toBeCloseTo(1 / expected.ways, 12);
    expect(randomisationTest(design, { direction: 'higher' }).p).toBeCloseTo(expected.higher, 12);
  });
  it('the interval holds exactly the changes that brute force does not reject', () => {
    const { ways, pOfChange } = reference.phases.ABAB;
    for (const level of [0.5, 0.8, 0.9, 0.95]) {
      const { interval } = randomisationTest(
        { kind: 'phases', values: SERIES, starts: [4, 8, 11], least: 2 },
        { level },
      );
      for (const [change, p] of pOfChange as [number, number][])
        expect(interval![0] <= change && change <= interval![1], `${level} ${change} ${ways}`).toBe(
          p > 1 - level + 1e-9,
        );
    }
  });
  it('AB of 20 with 5: 11 ways, no interval at 95%', () => {
    const values = Array.from({ length: 20 }, (_, i) => (i < 10 ? 0 : 5) + Math.sin(i));
    const test = randomisationTest({ kind: 'phases', values, starts: [10], least: 5 });
    expect(test).toMatchObject({ ways: 11, interval: null });
    expect(test.p).toBeCloseTo(1 / 11, 12);
  });
  it('multiple baseline, golfers drawn to windows: as by brute force', () => {
    const { ways, difference, p } = reference.multipleBaseline;
    const test = randomisationTest({
      kind: 'multiple-baseline',
      series: [
        { values: SERIES, start: 6 },
        { values: SECOND, start: 5 },
        { values: [...SERIES].reverse(), start: 9 },
      ],
      windows: [
        [5, 7],
        [4, 6],
        [8, 10],
      ],
      rule: 'drawn',
    });
    expect(test.ways).toBe(ways);
    expect(test.difference).toBeCloseTo(difference, 12);
    expect(test.p).toBeCloseTo(p, 12);
  });
  it('windows that are the same make the smallest p larger: the ways are counted as they fall', () => {
    const windows = [
      [3, 5],
      [3, 5],
    ] as const;
    const series = [
      { values: [0, 0, 0, 0, 5, 5, 5, 5], start: 4 },
      { values: [0, 0, 0, 5, 5, 5, 5, 5], start: 3 },
    ];
    const test = randomisationTest({ kind: 'multiple-baseline', series, windows, rule: 'drawn' });
    expect(test.ways).toBe(18);
    expect(test.smallestP).toBeCloseTo(2 / 18, 12);
    expect(test.p).toBeCloseTo(2 / 18, 12);
  });
  it('too many ways: p from drawn ways, close to the exact one; never without a stream', () => {
    const design = { kind: 'phases', values: SERIES, starts: [4, 8, 11], least: 2 } as const;
    const exact = randomisationTest(design);
    const drawn = randomisationTest(design, { most: 10, draws: 4_000, stream: createStream(8) });
    expect(drawn).toMatchObject({ exact: false, counted: 4_001, ways: exact.ways });
    expect(Math.abs(drawn.p - exact.p)).toBeLessThan(4 * Math.sqrt((exact.p * (1 - exact.p)) / 4_000));
    expect(() => randomisationTest(design, { most: 10 })).toThrow('pass a stream');
  });
  it('a design that could not have fallen so is misuse', () => {
    expect(() => randomisationTest({ kind: 'phases', values: SERIES, starts: [2], least: 3 })).toThrow(
      'not among the ways',
    );
  });
  it('does not move with the level of the values, and turns with their sign', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: -50, max: 50 }), { minLength: 8, maxLength: 16 }), (values) => {
        const of = (shown: readonly number[]) =>
          randomisationTest({ kind: 'phases', values: shown, starts: [4], least: 2 }, { level: 0.8 });
        const plain = of(values);
        expect(of(values.map((value) => value + 1e6)).p).toBe(plain.p);
        const turned = of(values.map((value) => -value));
        expect(turned.p).toBe(plain.p);
        expect(turned.difference).toBeCloseTo(-plain.difference, 9);
        expect(plain.p).toBeGreaterThanOrEqual(plain.smallestP - 1e-12);
      }),
      { seed: 6 },
    );
  });
  it('errs in at most 5% of null series though days are alike (0.6), the start being drawn at random', () => {
    const stream = createStream(11);
    let rejected = 0;
    const series = 1_500;
    for (let k = 0; k < series; k++) {
      const values: number[] = [];
      for (let i = 0; i < 28; i++)
        values.push(i === 0 ? stream.normal() : 0.6 * values[i - 1]! + 0.8 * stream.normal());
      const starts = drawPhaseAssignment(28, 2, 4, stream);
      if (randomisationTest({ kind: 'phases', values, starts, least: 4 }).p <= 0.05) rejected += 1;
    }
    // By the draw alone 1 of 21; four Monte Carlo errors.
    expect(Math.abs(rejected / series - 1 / 21)).toBeLessThan(4 * Math.sqrt(1 / 21 / series));
  });
});

describe('non-overlap of all pairs', () => {
  const A = [4, 3, 4, 3, 4, 7, 5, 2, 3, 2];
  const B = [5, 9, 7, 9, 7, 5, 9, 11, 11, 10, 9];
  it('Parker and Vannest (2009): 0.9636 with its standard errors', () => {
    const found = nonOverlap(A, B);
    expect(found.nap).toBeCloseTo(0.963636, 6);
    expect(found.standardErrorPrinted).toBeCloseTo(0.031926, 6);
    expect(found.standardErrorHanley).toBeCloseTo(0.034834, 6);
    expect(found.standardErrorNull).toBeCloseTo(0.129099, 6);
    expect(found.interval[0]).toBeCloseTo(reference.napInterval[0], 10);
    expect(found.interval[1]).toBeCloseTo(reference.napInterval[1], 10);
  });
  it('the unbiased variance is unbiased with ties, by going through every sample of a coin and a die', () => {
    // A takes 0, 1, 2 with chances 1/2, 1/3, 1/6 and B 1, 2 with chances 1/4, 3/4; 3 of A and 2 of B.
    const pA = [1 / 2, 1 / 3, 1 / 6];
    const pB = [0, 1 / 4, 3 / 4];
    let [first, second, unbiased, printed] = [0, 0, 0, 0];
    for (let code = 0; code < 3 ** 5; code++) {
      const digits = Array.from({ length: 5 }, (_, i) => Math.floor(code / 3 ** i) % 3);
      const [a, b] = [digits.slice(0, 3), digits.slice(3)];
      const chance = a.reduce((c, d) => c * pA[d]!, 1) * b.reduce((c, d) => c * pB[d]!, 1);
      if (chance === 0) continue;
      const { nap } = nonOverlap(a, b);
      // The estimate of a variance may be below 0 and is cut there in the standard error; the sums here are its own.
      const q: number[][] = a.map((x) => b.map((y) => (y > x ? 1 : y === x ? 0.5 : 0)));
      const squares = q.flat().reduce((s, v) => s + v * v, 0);
      const rows = q.reduce((s, row) => s + (row[0]! + row[1]!) ** 2, 0);
      const columns = [0, 1].reduce((s, j) => s + q.reduce((t, row) => t + row[j]!, 0) ** 2, 0);
      const variance = (meanSquare: number) => ((rows + columns) / 6 - meanSquare - 4 * nap ** 2) / 2;
      const own = nonOverlap(a, b);
      expect(own.standardErrorUnbiased! ** 2).toBeCloseTo(Math.max(0, variance(squares / 6)), 12);
      first += chance * nap;
      second += chance * nap ** 2;
      unbiased += chance * variance(squares / 6);
      printed += chance * variance((2 * squares) / 6 - nap);
    }
    expect(unbiased).toBeCloseTo(second - first ** 2, 12);
    expect(Math.abs(printed - (second - first ** 2))).toBeGreaterThan(0.005);
  });
  it('keeps its limits at no and at all overlap', () => {
    expect(nonOverlap([1, 2, 3], [4, 5, 6]).nap).toBe(1);
    expect(nonOverlap([1, 2, 3], [4, 5, 6]).interval[1]).toBe(1);
    expect(nonOverlap([4, 5], [1, 2]).interval[0]).toBe(0);
    expect(() => nonOverlap([], [1])).toThrow('both phases need a value');
  });
});

describe('rank trend', () => {
  it('Parker, Vannest and Davis (2011), example 1', () => {
    const [a, b] = [
      [20, 20, 26, 25, 22, 23],
      [28, 25, 24, 27, 30, 30, 29],
    ];
    expect(nonOverlap(a, b).nap).toBeCloseTo(38.5 / 42, 12);
    expect(rankTrend(a, b)).toMatchObject({ tau: 35 / 42, tauLessTrendA: 31 / 42 });
  });
  it('Parker, Vannest, Davis and Sauber (2011), example 2, with every published denominator', () => {
    const found = rankTrend([3, 3, 4, 5], [4, 5, 6, 7, 7]);
    expect(found).toMatchObject({ sBetween: 16, sWithinA: 5, sWithinB: 9, tau: 0.8, outOfRange: false });
    expect(found.tauLessTrendA).toBeCloseTo(0.55, 12);
    expect(found.tauWithTrends).toBeCloseTo(20 / 36, 12);
    expect(found.tauLessTrendAOverItsPairs).toBeCloseTo(11 / 26, 12);
  });
  it('a pure trend: Tau 1, Tau-U 0.6, baseline corrected 0 (Tarlow 2017)', () => {
    const [a, b] = [
      [1, 2, 3, 4, 5],
      [6, 7, 8, 9, 10],
    ];
    expect(rankTrend(a, b)).toMatchObject({ tau: 1, tauLessTrendA: 0.6 });
    expect(baselineCorrectedTau(a, b)).toMatchObject({ corrected: true, tau: 0, tauB: 0 });
    // The same in tenths, whose differences are not exact.
    expect(
      baselineCorrectedTau(
        a.map((v) => v / 10),
        b.map((v) => v / 10),
      ),
    ).toMatchObject({ tau: 0, tauB: 0 });
  });
  it('is not cut off beyond 1, and says so: 112 / 110 of Parker and Vannest (2009)', () => {
    const found = rankTrend([4, 3, 4, 3, 4, 7, 5, 2, 3, 2], [5, 9, 7, 9, 7, 5, 9, 11, 11, 10, 9]);
    expect(found.sWithinA).toBe(-10);
    expect(found.tauLessTrendA).toBeCloseTo(112 / 110, 12);
    expect(found.outOfRange).toBe(true);
  });
  it('baseline corrected Tau of a falling series, as by scipy', () => {
    const found = baselineCorrectedTau(
      [33, 25, 17, 25, 19, 21, 19, 14, 19, 17],
      [14, 15, 15, 9, 12, 7, 10, 6, 5, 2, 2, 3, 5, 4],
    );
    const { p, slope, tauB } = reference.baselineCorrected;
    expect(found.corrected).toBe(true);
    expect(found.baselineP).toBeCloseTo(p, 10);
    expect(found.slope).toBeCloseTo(slope, 12);
    expect(found.tauB).toBeCloseTo(tauB, 10);
  });
  it('Kendall: exact p without ties, normal with; example 3.1 of Kendall (1970): S = 33, tau-b = 0.859', () => {
    for (const { y, p, tau } of reference.kendallExact) {
      const found = kendall(
        (y as number[]).map((_, i) => i),
        y,
      );
      expect(found.p).toBeCloseTo(p, 12);
      expect(found.tauB).toBeCloseTo(tau, 12);
    }
    for (const { x, y, p, tau } of reference.kendallTied) {
      expect(kendall(x, y).p).toBeCloseTo(p, 10);
      expect(kendall(x, y).tauB).toBeCloseTo(tau, 12);
    }
    const [first] = reference.kendallTied;
    expect(kendall(first.x, first.y).s).toBe(33);
    expect(kendall(first.x, first.y).tauB).toBeCloseTo(0.859, 3);
    expect(kendall([1, 2, 3], [2, 2, 2])).toMatchObject({ tauB: null, p: null });
    expect(() => kendall([1], [1, 2])).toThrow('pair them first');
  });
  it('Theil-Sen of a line is the line', () => {
    expect(theilSen([5, 7, 9, 11])).toEqual({ slope: 2, intercept: 3 });
    expect(theilSen([5])).toBeNull();
  });
});

describe('individuals and moving ranges', () => {
  /** Diameters of 30 belts and their limits: online documentation of a statistics package, support.sas.com/documentation/cdl/en/qcug/63964, example 9.4. */
  const BELTS = [
    24.05, 23.99, 23.95, 23.93, 23.97, 24.02, 24.06, 24.1, 23.98, 24.03, 23.91, 24.06, 24.06, 23.96, 23.98,
    24.06, 24.01, 24.0, 23.93, 23.92, 24.09, 24.11, 24.05, 23.98, 23.98, 24.06, 24.02, 24.06, 23.97, 23.96,
  ];
  it('limits of a published worked example', () => {
    const limits = chartLimits(BELTS)!;
    expect(limits.low).toBeCloseTo(23.8571, 4);
    expect(limits.centre).toBeCloseTo(24.0083, 4);
    expect(limits.high).toBeCloseTo(24.1596, 4);
    expect(limits.meanRange).toBeCloseTo(0.056897, 6);
    expect(limits.rangeHigh).toBeCloseTo(0.18585, 5);
    expect((limits.high - limits.centre) / 3).toBeCloseTo(0.050423, 5);
  });
  it('NIST/SEMATECH e-Handbook 6.3.2.2 (from memory): 45.8159 to 55.8041, with d2 rounded to 1.128 there', () => {
    const limits = chartLimits([49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1])!;
    expect(limits.centre).toBeCloseTo(50.81, 10);
    expect(limits.meanRange).toBeCloseTo(1.8778, 4);
    const rounded = ((2 / Math.sqrt(Math.PI)) * (limits.high - limits.centre)) / 1.128;
    expect(limits.centre + rounded).toBeCloseTo(55.8041, 4);
    expect(limits.centre - rounded).toBeCloseTo(45.8159, 4);
  });
  it('the factors are those in print, 2.66 and 3.267', () => {
    expect(LIMIT_FACTOR).toBeCloseTo(2.66, 2);
    expect(RANGE_FACTOR).toBeCloseTo(3.267, 3);
  });
  it('signals: beyond a limit, the eighth in a row on one side, a jump; a value on the centre ends a run', () => {
    const limits = chartLimits([0, 1, 0, 1, 0, 1])!;
    const of = (values: number[]) => chartSignals(values, limits);
    expect(of([0, 9])[1]).toEqual(['beyond-limits', 'range']);
    const run = of([1, 1, 1, 1, 1, 1, 1, 1, 1]);
    expect(run.map((signals) => signals.length)).toEqual([0, 0, 0, 0, 0, 0, 0, 1, 1]);
    expect(of([1, 1, 1, 1, 0.5, 1, 1, 1, 1]).flat()).toEqual([]);
    expect(movingRanges([3, 1, 2])).toEqual([null, 2, 1]);
    expect(chartLimits([3])).toBeNull();
  });
});

describe('the change with neighbours alike to an unknown degree', () => {
  it('one series and two: as by dense matrices', () => {
    const one = changeInSeries([{ values: SERIES, inB: inB(14, 6) }])!;
    const two = changeInSeries([
      { values: SERIES, inB: inB(14, 6) },
      { values: SECOND, inB: inB(14, 5) },
    ])!;
    for (const [found, expected] of [
      [one, reference.averaged.one],
      [two, reference.averaged.two],
    ] as const) {
      expect(found.change).toBeCloseTo(expected.change, 8);
      expect(found.interval[0]).toBeCloseTo(expected.interval[0], 8);
      expect(found.interval[1]).toBeCloseTo(expected.interval[1], 8);
      expect(found.degreesOfFreedom).toBe(expected.degreesOfFreedom);
    }
  });
  it('held at 0 it is the pooled t interval', () => {
    const found = changeInSeries([{ values: [1, 2, 3, 6, 7, 8], inB: inB(6, 3) }], { autocorrelation: 0 })!;
    // Means 2 and 7, pooled SD 1, t(0.975, 4) = 2.776445.
    expect(found.change).toBeCloseTo(5, 9);
    expect(found.interval[1] - 5).toBeCloseTo(2.776445 * Math.sqrt(2 / 3), 5);
  });
  it('says nothing where nothing varies, or a phase is missing, or too little is there', () => {
    expect(changeInSeries([{ values: [1, 1, 1, 2, 2, 2], inB: inB(6, 3) }])).toBeNull();
    expect(changeInSeries([{ values: [1, 2, 3], inB: [false, false, false] }])).toBeNull();
    expect(changeInSeries([{ values: [1, 2, 3], inB: inB(3, 1) }])).toBeNull();
    expect(changeInSeries([])).toBeNull();
  });
  it('holds the truth about as often as it says', () => {
    const stream = createStream(21);
    let covered = 0;
    const series = 400;
    for (let k = 0; k < series; k++) {
      const values: number[] = [];
      for (let i = 0; i < 20; i++)
        values.push(i === 0 ? stream.normal() : 0.3 * values[i - 1]! + Math.sqrt(0.91) * stream.normal());
      const { interval } = changeInSeries([{ values, inB: inB(20, 9) }])!;
      if (interval[0] <= 0 && 0 <= interval[1]) covered += 1;
    }
    // 0.95 within three Monte Carlo errors (0.011 each); 2,000 of each case are in reports/calibration.
    expect(Math.abs(covered / series - 0.95)).toBeLessThan(0.033);
  });
});

describe('noise', () => {
  it('one visit each with a known SEM: 1.96 x sqrt 2 (Weir 2005)', () => {
    expect(detectableChange({ sem: 1, degreesOfFreedom: null, before: 1, after: 1 })).toBeCloseTo(2.7718, 4);
    expect(detectableChange({ sem: 2, degreesOfFreedom: 4, before: 3, after: 3 })).toBeCloseTo(
      2.776445 * 2 * Math.sqrt(2 / 3),
      5,
    );
  });
  it('pools the SD of groups; one value tells nothing', () => {
    expect(pooledSd([[1, 3], [5, 5, 8], [9]])).toEqual({ sd: Math.sqrt(8 / 3), degreesOfFreedom: 3 });
    expect(pooledSd([[1], [2]])).toBeNull();
  });
  it('lag-one autocorrelation and its correction (Huitema and McKean 1991)', () => {
    expect(lagOneAutocorrelation([1, -1, 1, -1], 1)).toEqual({ value: -0.75, corrected: -0.5 });
    expect(lagOneAutocorrelation([0, 0, 0], 1)).toBeNull();
  });
});
