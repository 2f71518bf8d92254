/**
 * Predictions averaged over variances against plain quadrature on dense grids: tests/reference/models/averaged, whose own
 * error is below 2e-6 standard deviations. What is left is the error of the project's 256 lattice points, in
 * standard deviations of the prediction (SD: as a share; chance: as it is). The same runs with other numbers of points:
 *
 * | points           | estimate | SD     | ends  | chance  |
 * |------------------|----------|--------|-------|---------|
 * | 64, 1 element    | 0.0018   | 0.0025 | 0.009 | 0.0005  |
 * | 64, 2            | 0.016    | 0.013  | 0.056 | 0.003   |
 * | 64, 3            | 0.041    | 0.028  | 0.19  | 0.006   |
 * | 256, 1           | 0.0001   | 0.0010 | 0.002 | 0.0001  |
 * | 256, 2           | 0.014    | 0.005  | 0.015 | 0.0042  |
 * | 256, 3           | 0.011    | 0.008  | 0.035 | 0.0025  |
 * | 1024, 1          | 0.0001   | 0.0003 | 0.001 | 0.00004 |
 * | 1024, 2          | 0.010    | 0.002  | 0.006 | 0.0030  |
 * | 1024, 3          | 0.0017   | 0.0024 | 0.010 | 0.0006  |
 *
 * It goes on to fall with more (8192: at most 0.003, 0.001, 0.006, 0.0004). 64 are used only where there are over 3,000 levels.
 */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import {
  averagedPredictions,
  type Combination,
  type DataColumns,
  fitModel,
  type Model,
} from '../../../../src/stats/index.ts';
import { MODELS, readColumns } from '../golden.ts';

interface Prediction {
  readonly estimate: number;
  readonly sd: number;
  readonly interval: readonly [number, number];
  readonly above: number;
  readonly chanceAbove: number;
}
interface Case {
  readonly name: string;
  readonly gridError: number;
  readonly predictions: Readonly<Record<string, Prediction>>;
}

const { cases }: { cases: readonly Case[] } = JSON.parse(
  readFileSync(`${MODELS}averaged/reference.json`, 'utf8'),
);

const sleep = readColumns(`${MODELS}sleepstudy.csv`);
const MIDDLE = 4.5;

/** Each subject's least-squares slope moved four fifths of the way to the mean of all, about his or her mean. */
function slopesAlike(): DataColumns {
  const of = Array.from(sleep.Subject!, String);
  const fromMiddle = Array.from(sleep.Days!, (day) => Number(day) - MIDDLE);
  const subjects = [...new Set(of)];
  const y = Array.from(sleep.Reaction!, Number);
  const squares = fromMiddle.reduce((sum, x) => sum + x * x, 0) / subjects.length;
  const slopes = subjects.map((subject) =>
    y.reduce((sum, value, i) => (of[i] === subject ? sum + (value * fromMiddle[i]!) / squares : sum), 0),
  );
  const mean = slopes.reduce((sum, slope) => sum + slope, 0) / slopes.length;
  return {
    ...sleep,
    Reaction: y.map((value, i) => value - 0.8 * (slopes[subjects.indexOf(of[i]!)]! - mean) * fromMiddle[i]!),
  };
}

type Random = NonNullable<Model['random']>[number];
const reaction = (random: Pick<Random, 'effects' | 'covariance'>): Model => ({
  outcome: 'Reaction',
  distribution: 'normal',
  fixed: ['intercept', { column: 'Days' }],
  random: [{ group: 'Subject', ...random }],
});
const strength: Model = {
  outcome: 'strength',
  distribution: 'normal',
  fixed: ['intercept'],
  random: [
    { group: 'batch', effects: ['intercept'] },
    { group: ['batch', 'cask'], effects: ['intercept'] },
  ],
};

const level = (subject: string): Combination => ({
  fixed: {},
  random: [{ group: 'Subject', level: subject, weights: { intercept: 1 } }],
});
const slope = (subject: string): Combination => ({
  fixed: { Days: 1 },
  random: [{ group: 'Subject', level: subject, weights: { Days: 1 } }],
});
/** `A`: a batch; `A:a`: a cask of it. */
const mean = (name: string): Combination => {
  const [batch, cask] = name.split(':');
  const own = { group: 'batch', level: batch!, weights: { intercept: 1 } };
  return {
    fixed: { intercept: 1 },
    random: [
      own,
      ...(cask === undefined ? [] : [{ ...own, group: 'batch / cask', level: `${batch} / ${cask}` }]),
    ],
  };
};

const both = ['intercept', 'Days'];
const models: Readonly<Record<string, readonly [Model, DataColumns, (name: string) => Combination]>> = {
  intercepts: [reaction({ effects: ['intercept'] }), sleep, level],
  diagonal: [reaction({ effects: both, covariance: 'diagonal' }), sleep, slope],
  full: [reaction({ effects: both }), sleep, slope],
  'slopes alike, diagonal': [reaction({ effects: both, covariance: 'diagonal' }), slopesAlike(), slope],
  'slopes alike, full': [reaction({ effects: both }), slopesAlike(), slope],
  nested: [strength, readColumns(`${MODELS}pastes.csv`), mean],
};

function fitOf(name: string) {
  const [model, data] = models[name]!;
  const outcome = fitModel(model, data);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  return outcome.fit;
}

/** The errors of 256 points as measured above, rounded up: one element, and several. */
const ONE = { estimate: 0.0005, sd: 0.002, end: 0.005, chance: 0.0005 };
const SEVERAL = { estimate: 0.02, sd: 0.01, end: 0.05, chance: 0.005 };

describe.each(cases)('$name', ({ name, gridError, predictions }) => {
  const most = name === 'intercepts' ? ONE : SEVERAL;
  const names = Object.keys(predictions);
  const found = averagedPredictions(fitOf(name), names.map(models[name]![2]), 0.95)!;

  it('the reference is sharp enough to judge by', () => {
    expect(gridError).toBeLessThan(2e-6);
  });

  it.each(names)('%s: estimate, SD, interval and chance', (which) => {
    const { estimate, sd, interval, above, chanceAbove } = predictions[which]!;
    const own = found[names.indexOf(which)]!;
    expect(Math.abs(own.estimate - estimate) / sd).toBeLessThan(most.estimate);
    expect(Math.abs(own.standardError / sd - 1)).toBeLessThan(most.sd);
    for (const end of [0, 1] as const)
      expect(Math.abs(own.interval[end] - interval[end]) / sd).toBeLessThan(most.end);
    expect(Math.abs(own.chanceAbove(above) - chanceAbove)).toBeLessThan(most.chance);
  });
});

describe('a variance that is estimated as zero', () => {
  it('is zero in the data made for it, and the interval is wider than if zero were known', () => {
    const fit = fitOf('slopes alike, diagonal');
    expect(fit.result.random[0]!.sd[1]).toBe(0);
    const [own] = averagedPredictions(fit, [slope('308')], 0.95)!;
    const known = fit.combine(slope('308'));
    expect(own!.standardError).toBeGreaterThan(known.standardError);
  });
});
