/**
 * Adjusted means, families and predictions against emmeans and multcomp
 * (tests/reference/contrasts/contrasts.R), golden pairs and formulas by hand.
 */
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { createStream, studentTwoSided, studentUpperQuantile } from '../../../../src/numerics/index.ts';
import {
  adjustedMeans,
  type DataColumns,
  type Fit,
  fitModel,
  type Model,
  pairwiseDifferences,
  predictNew,
  simultaneously,
} from '../../../../src/stats/index.ts';
import { MODELS, readColumns, readPair, relative } from '../golden.ts';

const FOLDER = fileURLToPath(new URL('../../../reference/contrasts/', import.meta.url));
const expected = JSON.parse(readFileSync(`${FOLDER}expected.json`, 'utf8'));
const ward = readColumns(`${FOLDER}ward.csv`);

function fitOf(model: Model, data: DataColumns): Fit {
  const outcome = fitModel(model, data);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  return outcome.fit;
}
const arm = { column: 'arm', levels: ['p', 'q', 'r', 's'] };
const full = (coding: 'reference' | 'sum' | 'helmert') =>
  fitOf(
    {
      outcome: 'y',
      fixed: [
        'intercept',
        { ...arm, coding },
        { column: 'day', levels: ['one', 'two'], coding },
        { product: ['arm', 'day'] },
        { column: 'x' },
        { column: 'x', power: 2 },
      ],
    },
    ward,
  );

describe.each(['reference', 'sum', 'helmert'] as const)('%s coding', (coding) => {
  const fit = full(coding);
  it('adjusted means: 9 digits', () => {
    const found = adjustedMeans(fit, ['arm']);
    expect(found.map(({ levels }) => levels.arm)).toEqual(expected.means.arm);
    found.forEach((mean, i) => {
      expect(relative(mean.estimate, expected.means.emmean[i])).toBeLessThan(1e-9);
      expect(relative(mean.standardError, expected.means.SE[i])).toBeLessThan(1e-9);
      expect(mean.degreesOfFreedom).toBe(36);
      expect(relative(mean.interval[0], expected.means['lower.CL'][i])).toBeLessThan(1e-8);
    });
  });
  it('means of cells, the number held at 1', () => {
    adjustedMeans(fit, ['arm', 'day'], { at: { x: 1 } }).forEach((mean) => {
      const i = (expected.cell.arm as string[]).findIndex(
        (level, row) => level === mean.levels.arm && expected.cell.day[row] === mean.levels.day,
      );
      expect(relative(mean.estimate, expected.cell.emmean[i])).toBeLessThan(1e-9);
      expect(relative(mean.standardError, expected.cell.SE[i])).toBeLessThan(1e-9);
    });
  });
});

describe('families', () => {
  const fit = full('reference');
  const table = expected.pairs;
  it('pairwise differences: Holm and the studentized range to 7 digits, single-step to the error of both samplings', () => {
    const by = (adjust: 'single-step' | 'studentized-range' | 'holm') =>
      pairwiseDifferences(fit, 'arm', { adjust }).members;
    expect(by('holm').map(({ name }) => name)).toEqual(table.holm.contrast);
    by('holm').forEach((member, i) => {
      expect(relative(member.statistic, table.holm['t.ratio'][i])).toBeLessThan(1e-8);
      expect(relative(member.adjustedPValue, table.holm['p.value'][i])).toBeLessThan(1e-7);
      expect(member.simultaneousInterval).toBeNull();
    });
    by('studentized-range').forEach((member, i) => {
      expect(relative(member.adjustedPValue, table.tukey['p.value'][i])).toBeLessThan(1e-6);
    });
    const family = pairwiseDifferences(fit, 'arm');
    expect(family.relativeError).toBeLessThan(1e-3);
    family.members.forEach((member, i) => {
      expect(Math.abs(member.adjustedPValue - table.mvt['p.value'][i])).toBeLessThan(1e-3);
    });
  });
  it("several arms against one: multcomp's p-values to 1e-4 and intervals to 1e-3", () => {
    const plain = fitOf({ outcome: 'y', fixed: ['intercept', arm] }, ward);
    const { members, method, relativeError } = simultaneously(
      plain,
      ['q', 'r', 's'].map((level) => ({ name: level, fixed: { [`arm=${level}`]: 1 } })),
    );
    expect(method).toBe('Largest of 3 correlated t variables, 42 degrees of freedom');
    expect(relativeError).toBe(0);
    members.forEach((member, i) => {
      expect(relative(member.statistic, expected.dunnett.t[i])).toBeLessThan(1e-9);
      expect(Math.abs(member.adjustedPValue - expected.dunnett.p[i])).toBeLessThan(1e-4);
      expect(Math.abs(member.simultaneousInterval![0] - expected.dunnett.lower[i])).toBeLessThan(2e-3);
      expect(Math.abs(member.simultaneousInterval![1] - expected.dunnett.upper[i])).toBeLessThan(2e-3);
    });
  });
  it.each(['satterthwaite', 'kenward-roger'] as const)(
    "mixed model, %s: the golden pair's means and Tukey differences",
    (method) => {
      const pair = readPair(MODELS, 'machines_slope_REML');
      const key = method === 'satterthwaite' ? 'adjustedMeans_satterthwaite' : 'adjustedMeans_kenward_roger';
      const golden = pair.expected[key]!;
      const mixed = fitOf(
        { ...pair.model, inference: { degreesOfFreedom: method } },
        readColumns(`${MODELS}machines.csv`),
      );
      adjustedMeans(mixed, ['Machine']).forEach((mean, i) => {
        expect(relative(mean.estimate, golden.means.emmean[i]!)).toBeLessThan(1e-8);
        expect(relative(mean.standardError, golden.means.SE[i]!)).toBeLessThan(1e-6);
        expect(relative(mean.degreesOfFreedom!, golden.means.df[i]!)).toBeLessThan(1e-4);
        expect(relative(mean.interval[1], golden.means.upper[i]!)).toBeLessThan(1e-6);
      });
      pairwiseDifferences(mixed, 'Machine', { adjust: 'studentized-range' }).members.forEach((member, i) => {
        expect(relative(member.standardError, golden.pairs_tukey.SE[i]!)).toBeLessThan(1e-6);
        expect(relative(member.statistic, golden.pairs_tukey.t[i]!)).toBeLessThan(1e-6);
      });
      // Single-step is never less sharp than the studentized range, and no adjustment makes a p-value smaller.
      const sharp = pairwiseDifferences(mixed, 'Machine').members;
      pairwiseDifferences(mixed, 'Machine', { adjust: 'studentized-range' }).members.forEach((member, i) => {
        expect(sharp[i]!.adjustedPValue).toBeLessThanOrEqual(member.adjustedPValue + 1e-4);
        expect(sharp[i]!.adjustedPValue).toBeGreaterThanOrEqual(member.pValue);
      });
    },
  );
  it('a family of one is the single question', () => {
    const one = simultaneously(fit, [{ name: 'x', fixed: { x: 1 } }]).members[0]!;
    expect(relative(one.adjustedPValue, one.pValue)).toBeLessThan(1e-12);
    expect(relative(one.simultaneousInterval![0], one.interval[0])).toBeLessThan(1e-9);
  });
  it('misuse names the remedy', () => {
    expect(() => simultaneously(fit, [])).toThrow(/name at least one combination/);
    expect(() => simultaneously(fit, [{ name: 'none', fixed: {} }])).toThrow(/none has no standard error/);
    expect(() => adjustedMeans(fit, ['x'])).toThrow(
      /x is no factor of the fixed effects; the factors are arm, day/,
    );
    expect(() => adjustedMeans(fit, ['arm'], { at: { day: 'three' } })).toThrow(
      /day needs one of one, two; found three/,
    );
    expect(() =>
      simultaneously(
        fit,
        [
          { name: 'a', fixed: { x: 1 } },
          { name: 'b', fixed: { 'x^2': 1 } },
        ],
        {
          adjust: 'studentized-range',
        },
      ),
    ).toThrow(/all pairwise differences/);
  });
});

describe('predictNew', () => {
  // Balanced one-way layout: a = 4 levels of n = 3; the mean squares give everything in closed form.
  const groups = [
    [10, 12, 11],
    [15, 14, 16],
    [9, 8, 10],
    [13, 13, 16],
  ];
  const data = { y: groups.flat(), g: groups.flatMap((list, i) => list.map(() => `g${i}`)) };
  const fit = fitOf(
    { outcome: 'y', fixed: ['intercept'], random: [{ group: 'g', effects: ['intercept'] }] },
    data,
  );
  const means = groups.map((list) => list.reduce((s, v) => s + v) / 3);
  const grand = means.reduce((s, v) => s + v) / 4;
  const between = (3 * means.reduce((s, v) => s + (v - grand) ** 2, 0)) / 3;
  const within = groups.reduce((s, list, i) => s + list.reduce((t, v) => t + (v - means[i]!) ** 2, 0), 0) / 8;
  const variance = (between - within) / 3;

  it('a new level: its mean has the variance between levels added, one measurement that within too', () => {
    const found = predictNew(fit, {});
    expect(found.estimate).toBeCloseTo(grand, 10);
    expect(relative(found.meanSd, Math.sqrt(between / 12 + variance))).toBeLessThan(1e-7);
    expect(relative(found.measurementSd, Math.sqrt(between / 12 + variance + within))).toBeLessThan(1e-7);
    // Satterthwaite of the new part: variance + within = between / 3 + 2 within / 3, with 3 and 8 degrees of freedom.
    const part = between / 3 + (2 * within) / 3;
    const own = part ** 2 / ((between / 3) ** 2 / 3 + ((2 * within) / 3) ** 2 / 8);
    const total = between / 12 + variance + within;
    const df = total ** 2 / ((between / 12) ** 2 / 3 + part ** 2 / own);
    expect(relative(found.degreesOfFreedom.measurement!, df)).toBeLessThan(1e-5);
    const half = studentUpperQuantile(0.025, df) * Math.sqrt(total);
    expect(found.measurementInterval[1] - found.estimate).toBeCloseTo(half, 3);
  });

  it('covers: 95 of 100 measurements of new levels lie in the interval, in 600 layouts of known truth', () => {
    const stream = createStream(11, 'new level');
    const rounds = 600;
    let inside = 0;
    for (let k = 0; k < rounds; k++) {
      const g: string[] = [];
      const y: number[] = [];
      for (let a = 0; a < 8; a++) {
        const level = 2 * stream.normal();
        for (let r = 0; r < 2 + (a % 3); r++) {
          g.push(`g${a}`);
          y.push(5 + level + stream.normal());
        }
      }
      const one = fitOf(
        { outcome: 'y', fixed: ['intercept'], random: [{ group: 'g', effects: ['intercept'] }] },
        { y, g },
      );
      const [low, high] = predictNew(one, {}).measurementInterval;
      const next = 5 + 2 * stream.normal() + stream.normal();
      if (next >= low && next <= high) inside++;
    }
    // Binomial standard error 0.009.
    expect(Math.abs(inside / rounds - 0.95)).toBeLessThan(0.027);
  });

  it('a known level: its own shrunken mean, and no variance between levels', () => {
    const found = predictNew(fit, {}, { levels: { g: 'g1' } });
    const shrink = (3 * variance) / (3 * variance + within);
    expect(found.estimate).toBeCloseTo(grand + shrink * (means[1]! - grand), 6);
    const alone = fit.combine({
      fixed: { intercept: 1 },
      random: [{ group: 'g', level: 'g1', weights: { intercept: 1 } }],
    });
    expect(found.meanSd).toBeCloseTo(alone.standardError, 12);
    expect(found.meanInterval[0]).toBeCloseTo(alone.interval[0], 10);
    expect(relative(found.measurementSd, Math.hypot(alone.standardError, Math.sqrt(within)))).toBeLessThan(
      1e-7,
    );
  });

  it("random slopes: z'Sigma z at the setting asked for", () => {
    const sleep = fitOf(
      {
        outcome: 'Reaction',
        fixed: ['intercept', { column: 'Days' }],
        random: [{ group: 'Subject', effects: ['intercept', 'Days'] }],
      },
      readColumns(`${MODELS}sleepstudy.csv`),
    );
    const found = predictNew(sleep, { Days: 7 });
    const line = sleep.combine({ fixed: { intercept: 1, Days: 7 } });
    const { sd, correlation } = sleep.result.random[0]!;
    const spread = sd[0]! ** 2 + 14 * correlation[0]![1]! * sd[0]! * sd[1]! + 49 * sd[1]! ** 2;
    expect(found.estimate).toBeCloseTo(line.estimate, 9);
    expect(relative(found.meanSd, Math.sqrt(line.standardError ** 2 + spread))).toBeLessThan(1e-9);
    expect(found.degreesOfFreedom.mean).toBeGreaterThan(10);
    expect(found.degreesOfFreedom.mean).toBeLessThan(25);
    expect(() => predictNew(sleep, {})).toThrow(/Days needs a number; found undefined/);
    expect(() => predictNew(sleep, { Days: 1 }, { levels: { golfer: 'x' } })).toThrow(
      /no group golfer.*Subject/,
    );
  });

  it('least squares: the textbook prediction interval', () => {
    const line = fitOf(
      { outcome: 'y', fixed: ['intercept', { column: 'x' }] },
      { y: [1, 3, 2, 6], x: [0, 1, 2, 3] },
    );
    const found = predictNew(line, { x: 5 });
    const s = line.result.residualSd;
    expect(found.measurementSd).toBeCloseTo(s * Math.sqrt(1 + 1 / 4 + 3.5 ** 2 / 5), 12);
    expect(found.degreesOfFreedom.measurement).toBe(2);
    expect(
      studentTwoSided((found.measurementInterval[1] - found.estimate) / found.measurementSd, 2),
    ).toBeCloseTo(0.05, 10);
  });
});

describe('natural splines against splines::ns 4.2.2', () => {
  it.each(expected.spline as { df: number; fitted: number[]; residualSd: number }[])(
    '$df degrees of freedom: the same fitted values, from inner knots at equally spaced quantiles and outer ones at the ends',
    ({ df, fitted, residualSd }) => {
      const fit = fitOf(
        { outcome: 'y', fixed: ['intercept', { column: 'x', spline: { degreesOfFreedom: df } }] },
        ward,
      );
      fitted.forEach((value, i) => {
        const x = Number(ward.x![i]);
        expect(Math.abs(predictNew(fit, { x }).estimate - value)).toBeLessThan(1e-9);
      });
      expect(relative(fit.result.residualSd, residualSd)).toBeLessThan(1e-11);
    },
  );
  it('is straight beyond the outer knots', () => {
    const fit = fitOf(
      { outcome: 'y', fixed: ['intercept', { column: 'x', spline: { degreesOfFreedom: 4 } }] },
      ward,
    );
    const at = (x: number) => predictNew(fit, { x }).estimate;
    expect(at(22) - at(21)).toBeCloseTo(at(21) - at(20), 8);
  });
});
