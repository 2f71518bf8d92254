/**
 * Robust standard errors against sandwich and clubSandwich (tests/reference/robust/robust.R) and worked by
 * hand.
 */
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { createStream } from '../../../../src/numerics/index.ts';
import {
  type DataColumns,
  type FitResult,
  type FixedTerm,
  fitDocument,
  fitModel,
  type Model,
} from '../../../../src/stats/index.ts';
import { MODELS, readColumns, relative } from '../golden.ts';

const ROBUST = fileURLToPath(new URL('../../../reference/robust/', import.meta.url));
interface Table {
  readonly estimate: number[];
  readonly standardError: number[];
  readonly degreesOfFreedom: number[];
  readonly statistic: number[];
  readonly pValue: number[];
  readonly covariance: number[][];
  readonly tests: { numeratorDf: number; denominatorDf: number; f: number; pValue: number }[];
}
const expected = JSON.parse(readFileSync(`${ROBUST}expected.json`, 'utf8'));
const small = readColumns(`${ROBUST}small-clusters.csv`);

type Terms = FixedTerm<Record<string, unknown>>[];
type Robust = NonNullable<NonNullable<Model['inference']>['robust']>;

function fitOf(data: DataColumns, outcome: string, fixed: Terms, robust: Robust, extra: Partial<Model> = {}) {
  const found = fitModel({ outcome, fixed, inference: { robust }, ...extra }, data);
  if (!found.ok) throw new Error(JSON.stringify(found.problems));
  return found.fit;
}

function check({ fixed, covariance, tests }: FitResult, table: Table): void {
  fixed.forEach((term, i) => {
    expect(relative(term.estimate, table.estimate[i]!)).toBeLessThan(1e-9);
    expect(relative(term.standardError, table.standardError[i]!)).toBeLessThan(1e-9);
    expect(relative(term.degreesOfFreedom!, table.degreesOfFreedom[i]!)).toBeLessThan(1e-8);
    expect(relative(term.statistic, table.statistic[i]!)).toBeLessThan(1e-8);
    expect(relative(term.pValue, table.pValue[i]!)).toBeLessThan(1e-7);
    table.covariance[i]!.forEach((value, j) => {
      expect(Math.abs(covariance[i]![j]! - value)).toBeLessThan(
        1e-9 * table.standardError[i]! * table.standardError[j]!,
      );
    });
  });
  expect(tests).toHaveLength(table.tests.length);
  tests.forEach((test, i) => {
    expect(test.numeratorDf).toBe(table.tests[i]!.numeratorDf);
    expect(relative(test.denominatorDf!, table.tests[i]!.denominatorDf)).toBeLessThan(1e-7);
    expect(relative(test.f, table.tests[i]!.f)).toBeLessThan(1e-7);
    expect(relative(test.pValue, table.tests[i]!.pValue)).toBeLessThan(1e-6);
  });
}

const growth: Terms = ['intercept', { column: 'age' }, { column: 'Sex', levels: ['Male', 'Female'] }];
const mixed: Terms = [
  'intercept',
  { column: 'x' },
  { column: 'arm', levels: ['a', 'b', 'c'] },
  { column: 'period', levels: ['one', 'two', 'three'] },
];

describe('against sandwich 3.0-2 and clubSandwich 0.5.8', () => {
  const orthodont = readColumns(`${MODELS}orthodont.csv`);
  const sleepstudy = readColumns(`${MODELS}sleepstudy.csv`);
  const hc3 = { kind: 'hc3' } as const;
  const by = (group: string) => ({ kind: 'cr2', group }) as const;

  it.each([
    ['growth, HC3', orthodont, 'distance', growth, hc3, expected.orthodont.hc3, {}],
    ['growth, CR2', orthodont, 'distance', growth, by('Subject'), expected.orthodont.cr2, {}],
    [
      'sleep, HC3',
      sleepstudy,
      'Reaction',
      ['intercept', { column: 'Days' }],
      hc3,
      expected.sleepstudy.hc3,
      {},
    ],
    [
      'sleep, CR2',
      sleepstudy,
      'Reaction',
      ['intercept', { column: 'Days' }],
      by('Subject'),
      expected.sleepstudy.cr2,
      {},
    ],
    ['eight unequal groups, HC3', small, 'y', mixed, hc3, expected.small.hc3, {}],
    ['eight unequal groups, CR2', small, 'y', mixed, by('site'), expected.small.cr2, {}],
    ['weights, HC3', small, 'y', mixed, hc3, expected.weighted.hc3, { weights: 'w' }],
    ['weights, CR2', small, 'y', mixed, by('site'), expected.weighted.cr2, { weights: 'w' }],
    ['unequal weights, HC3', small, 'y', mixed, hc3, expected.unequalWeights.hc3, { weights: 'v' }],
    ['unequal weights, CR2', small, 'y', mixed, by('site'), expected.unequalWeights.cr2, { weights: 'v' }],
  ] as [string, DataColumns, string, Terms, Robust, Table, Partial<Model>][])(
    '%s: 9 digits in standard errors, 8 in degrees of freedom, 7 in joint tests',
    (_, data, outcome, fixed, robust, table, extra) => {
      check(fitOf(data, outcome, fixed, robust, extra).result, table);
    },
  );

  it('a level for each group: the slope inside groups keeps its error, the levels have none, and that is said', () => {
    const { result } = fitOf(small, 'y', ['intercept', { column: 'x' }, { column: 'site' }], by('site'));
    const slope = result.fixed[1]!;
    expect(relative(slope.standardError, expected.siteLevels.x.standardError)).toBeLessThan(1e-8);
    expect(relative(slope.degreesOfFreedom!, expected.siteLevels.x.degreesOfFreedom)).toBeLessThan(1e-6);
    for (const term of [result.fixed[0]!, ...result.fixed.slice(2)]) {
      expect(term.standardError).toBeNaN();
      expect(result.diagnosis.notes.join(' ')).toContain(`${term.term} has no standard error`);
    }
  });
});

describe('leverage 1', () => {
  const data = { y: [1, 3, 2, 5, 9], x: [1, 2, 3, 4, 5], arm: ['p', 'p', 'p', 'p', 'q'] };
  const fixed: Terms = ['intercept', { column: 'x' }, { column: 'arm', levels: ['p', 'q'] }];

  it('a row that alone determines an effect leaves it without a standard error, in words, and the others with theirs', () => {
    const { result } = fitOf(data, 'y', fixed, { kind: 'hc3' });
    const [intercept, slope, arm] = result.fixed;
    expect(arm!.standardError).toBeNaN();
    expect(arm!.estimate).toBeCloseTo(9 - (0.0 + 1.1 * 5), 10);
    expect(result.diagnosis.notes.join(' ')).toContain('arm=q has no standard error: data row 5 alone');
    expect(result.tests[1]!.f).toBeNaN();
    expect(result.diagnosis.notes.join(' ')).toContain('given as NaN');
    // Without row 5 and its arm, the rest is a model of its own; only the divisor n - p is the same too.
    const rest = fitOf(
      { y: data.y.slice(0, 4), x: data.x.slice(0, 4) },
      'y',
      ['intercept', { column: 'x' }],
      { kind: 'hc3' },
    ).result.fixed;
    expect(intercept!.standardError).toBeCloseTo(rest[0]!.standardError, 12);
    expect(slope!.standardError).toBeCloseTo(rest[1]!.standardError, 12);
    expect(slope!.degreesOfFreedom).toBe(2);
  });

  it('a group that alone determines an effect, likewise', () => {
    const { result } = fitOf({ ...data, site: ['u', 'u', 'v', 'v', 'w'] }, 'y', fixed, {
      kind: 'cr2',
      group: 'site',
    });
    expect(result.fixed[2]!.standardError).toBeNaN();
    expect(result.diagnosis.notes.join(' ')).toContain('arm=q has no standard error: a single group alone');
    expect(result.fixed[1]!.standardError).toBeGreaterThan(0);
  });
});

describe('what can be asked of it', () => {
  it('combine uses the robust error: HC3 of a mean of unequal spreads, worked by hand', () => {
    // Two groups of means: HC3 of a group mean with n rows is sum e^2 / (n - 1)^2, since h = 1 / n.
    const data = { y: [1, 3, 5, 10, 30], arm: ['p', 'p', 'p', 'q', 'q'] };
    const fit = fitOf(data, 'y', ['intercept', { column: 'arm', levels: ['p', 'q'] }], { kind: 'hc3' });
    expect(fit.combine({ fixed: { intercept: 1 } }).standardError).toBeCloseTo(Math.sqrt(8 / 4), 12);
    expect(fit.combine({ fixed: { intercept: 1, 'arm=q': 1 } }).standardError).toBeCloseTo(
      Math.sqrt(200 / 1),
      10,
    );
    expect(fit.combine({ fixed: { 'arm=q': 1 } }).standardError).toBeCloseTo(Math.sqrt(202), 10);
  });

  it('groups of one row each: CR2 is the HC2 of each row, sum x x e^2 / (1 - h)', () => {
    const data = { y: [1, 3, 5, 10, 30], arm: ['p', 'p', 'p', 'q', 'q'], row: [1, 2, 3, 4, 5] };
    const { result } = fitOf(data, 'y', ['intercept', { column: 'arm', levels: ['p', 'q'] }], {
      kind: 'cr2',
      group: 'row',
    });
    // Per mean: sum e^2 / (n^2 (1 - 1 / n)) = s^2 / n, so the difference is Welch's.
    expect(result.fixed[1]!.standardError).toBeCloseTo(Math.sqrt(8 / 6 + 200 / 2), 10);
    // Bell and McCaffrey's degrees of freedom of Welch's form at equal true variances: (1/3 + 1/2)^2 / (1/18 + 1/4).
    expect(result.fixed[1]!.degreesOfFreedom).toBeCloseTo((5 / 6) ** 2 / (1 / 18 + 1 / 4), 10);
  });

  it('unbiased under equal independent errors: the mean of 1,500 CR2 variances is the true variance', () => {
    const stream = createStream(31, 'cr2');
    const group = Array.from({ length: 12 }, (_, i) => `g${Math.floor(i / 4) + (i % 4 === 0 ? 3 : 0)}`);
    const x = Array.from({ length: 12 }, (_, i) => i + (i % 3));
    const mean = x.reduce((a, b) => a + b) / 12;
    const truth = 1 / x.reduce((sum, v) => sum + (v - mean) ** 2, 0);
    let total = 0;
    let squares = 0;
    const rounds = 1500;
    for (let k = 0; k < rounds; k++) {
      const y = x.map(() => stream.normal());
      const variance =
        fitOf({ x, y, group }, 'y', ['intercept', { column: 'x' }], { kind: 'cr2', group: 'group' }).result
          .covariance[1]![1]! / truth;
      total += variance;
      squares += variance * variance;
    }
    const average = total / rounds;
    const error = Math.sqrt((squares / rounds - average ** 2) / rounds);
    expect(Math.abs(average - 1)).toBeLessThan(4 * error);
    expect(error).toBeLessThan(0.04);
  });

  it.each([{ kind: 'hc3' }, { kind: 'cr2', group: 'site' }] as const)(
    '$kind: order of rows and names of groups do not matter; scale and shift of columns do as they should',
    (robust) => {
      const order = Array.from(small.y!, (_, i) => i).sort((a, b) => ((a * 17) % 43) - ((b * 17) % 43));
      const moved: DataColumns = Object.fromEntries(
        Object.entries(small).map(([name, column]) => [
          name,
          order.map((i) =>
            name === 'site'
              ? `other ${column[i]} site`
              : name === 'x'
                ? Number(column[i]) * 1e4 + 3e5
                : name === 'y'
                  ? Number(column[i]) * -0.01 + 7
                  : column[i]!,
          ),
        ]),
      );
      const plain = fitOf(small, 'y', mixed, robust).result;
      const again = fitOf(moved, 'y', mixed, robust).result;
      plain.fixed.forEach((term, i) => {
        if (i === 0) return;
        const factor = -0.01 / (i === 1 ? 1e4 : 1);
        expect(relative(again.fixed[i]!.estimate, term.estimate * factor)).toBeLessThan(1e-8);
        expect(relative(again.fixed[i]!.standardError, -term.standardError * factor)).toBeLessThan(1e-8);
        expect(relative(again.fixed[i]!.degreesOfFreedom!, term.degreesOfFreedom!)).toBeLessThan(1e-7);
      });
      plain.tests.forEach(({ f, denominatorDf }, i) => {
        expect(relative(again.tests[i]!.f, f)).toBeLessThan(1e-6);
        expect(relative(again.tests[i]!.denominatorDf!, denominatorDf!)).toBeLessThan(1e-6);
      });
    },
  );

  it('few groups are said to be few', () => {
    const { result } = fitOf(small, 'y', mixed, { kind: 'cr2', group: 'site' });
    expect(result.fixed[2]!.degreesOfFreedom).toBeLessThan(4);
    expect(result.diagnosis.notes.join(' ')).toMatch(/Fewer than 4 degrees of freedom are left for .*arm=b/);
  });
});

describe('requests that contradict themselves', () => {
  const base = { outcome: 'y', fixed: ['intercept', { column: 'x' }] };
  it.each([
    [{ inference: { robust: { kind: 'hc4' } } }, 'bad-model /inference/robust/kind'],
    [{ inference: { robust: { kind: 'cr2' } } }, 'bad-model /inference/robust'],
    [{ inference: { robust: { kind: 'hc3', group: 'site' } } }, 'bad-model /inference/robust/group'],
    [{ inference: { robust: { kind: 'cr2', group: 'sit' } } }, 'unknown-column /inference/robust/group'],
    [
      { inference: { robust: { kind: 'hc3' } }, random: [{ group: 'site', effects: ['intercept'] }] },
      'bad-model /inference/robust',
    ],
    [
      { inference: { robust: { kind: 'hc3' }, degreesOfFreedom: 'normal' } },
      'bad-model /inference/degreesOfFreedom',
    ],
    [
      { inference: { robust: { kind: 'hc3' } }, residual: { variance: { by: 'arm' } } },
      'bad-model /inference/robust',
    ],
    [{ inference: { robust: { kind: 'cr2', group: 'all' } } }, 'one-level /inference/robust/group'],
  ])('%j', (extra, problem) => {
    const outcome = fitDocument(
      { ...base, ...extra },
      { ...small, all: Array.from(small.y!, () => 'one') },
      {
        predict: false,
      },
    );
    const kinds = outcome.ok ? [] : outcome.problems.map(({ kind, where }) => `${kind} ${where}`);
    expect(kinds).toContain(problem);
  });
});
