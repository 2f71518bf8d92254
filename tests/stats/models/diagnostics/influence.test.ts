/** Deletion of levels against literally leaving their rows out: whole-matrix formulas, and fits made anew. */
import { describe, expect, it } from 'vitest';
import { type DataColumns, type Fit, fitModel, influence, type Model } from '../../../../src/stats/index.ts';
import { covarianceOf, denseDeviance, invert, type Matrix, zeros } from '../dense-oracle.ts';
import { MODELS, readColumns } from '../golden.ts';

function fitOf(model: Model, data: DataColumns): Fit {
  const outcome = fitModel(model, data);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  return outcome.fit;
}
const keep = (data: DataColumns, rows: (row: number) => boolean): DataColumns =>
  Object.fromEntries(
    Object.entries(data).map(([name, column]) => [name, Array.from(column).filter((_, i) => rows(i))]),
  );
const numbers = (data: DataColumns, name: string) => Array.from(data[name]!, Number);

interface Case {
  readonly name: string;
  readonly data: DataColumns;
  readonly model: Model;
  /** The group deleted, and its labels row by row. */
  readonly by: string;
  readonly labels: readonly string[];
  /** Fixed design in plain numbers. */
  readonly x: Matrix;
  /** For each random term its labels and its columns. */
  readonly random: readonly { readonly labels: readonly string[]; readonly columns: readonly number[][] }[];
  readonly weights?: readonly number[];
}
const text = (data: DataColumns, ...names: string[]) =>
  Array.from(data[names[0]!]!, (_, i) => names.map((name) => String(data[name]![i])).join(' / '));

const sleep = readColumns(`${MODELS}sleepstudy.csv`);
const days = numbers(sleep, 'Days');
const ones = days.map(() => 1);
const pastes = readColumns(`${MODELS}pastes.csv`);
const penicillin = readColumns(`${MODELS}penicillin.csv`);
const orthodont = readColumns(`${MODELS}orthodont.csv`);
const reml = { criterion: 'reml' } as const;

const cases: Case[] = [
  {
    name: 'slopes for each subject',
    data: sleep,
    model: {
      ...reml,
      outcome: 'Reaction',
      fixed: ['intercept', { column: 'Days' }],
      random: [{ group: 'Subject', effects: ['intercept', 'Days'] }],
    },
    by: 'Subject',
    labels: text(sleep, 'Subject'),
    x: days.map((day) => [1, day]),
    random: [{ labels: text(sleep, 'Subject'), columns: [ones, days] }],
  },
  {
    name: 'the same with known weights, by maximum likelihood',
    data: sleep,
    model: {
      outcome: 'Reaction',
      fixed: ['intercept', { column: 'Days' }],
      random: [{ group: 'Subject', effects: ['intercept', 'Days'], covariance: 'diagonal' }],
      weights: 'weight',
      criterion: 'ml',
    },
    by: 'Subject',
    labels: text(sleep, 'Subject'),
    x: days.map((day) => [1, day]),
    random: [{ labels: text(sleep, 'Subject'), columns: [ones, days] }],
    weights: numbers(sleep, 'weight'),
  },
  {
    name: 'casks in batches, batches left out',
    data: pastes,
    model: {
      ...reml,
      outcome: 'strength',
      fixed: ['intercept'],
      random: [
        { group: 'batch', effects: ['intercept'] },
        { group: ['batch', 'cask'], effects: ['intercept'] },
      ],
    },
    by: 'batch',
    labels: text(pastes, 'batch'),
    x: numbers(pastes, 'strength').map(() => [1]),
    random: [
      { labels: text(pastes, 'batch'), columns: [numbers(pastes, 'strength').map(() => 1)] },
      { labels: text(pastes, 'batch', 'cask'), columns: [numbers(pastes, 'strength').map(() => 1)] },
    ],
  },
  {
    name: 'plates crossed with samples, samples left out',
    data: penicillin,
    model: {
      ...reml,
      outcome: 'diameter',
      fixed: ['intercept'],
      random: [
        { group: 'plate', effects: ['intercept'] },
        { group: 'sample', effects: ['intercept'] },
      ],
    },
    by: 'sample',
    labels: text(penicillin, 'sample'),
    x: numbers(penicillin, 'diameter').map(() => [1]),
    random: ['plate', 'sample'].map((name) => ({
      labels: text(penicillin, name),
      columns: [numbers(penicillin, 'diameter').map(() => 1)],
    })),
  },
  {
    name: 'growth with a factor between subjects',
    data: orthodont,
    model: {
      ...reml,
      outcome: 'distance',
      fixed: [
        'intercept',
        { column: 'age' },
        { column: 'Sex', levels: ['Male', 'Female'] },
        { product: ['age', 'Sex'] },
      ],
      random: [{ group: 'Subject', effects: ['intercept', 'age'] }],
    },
    by: 'Subject',
    labels: text(orthodont, 'Subject'),
    x: numbers(orthodont, 'age').map((age, i) => {
      const girl = orthodont.Sex![i] === 'Female' ? 1 : 0;
      return [1, age, girl, age * girl];
    }),
    random: [
      {
        labels: text(orthodont, 'Subject'),
        columns: [numbers(orthodont, 'age').map(() => 1), numbers(orthodont, 'age')],
      },
    ],
  },
];

/** V of some rows at the variances a fit found, in plain numbers. */
function covarianceAt(fit: Fit, { random, weights }: Case, rows: readonly number[]): Matrix {
  const terms = random.map(({ labels, columns }) => {
    const levels = [...new Set(rows.map((i) => labels[i]!))];
    return {
      designs: columns.map((column) => {
        const z = zeros(rows.length, levels.length);
        rows.forEach((i, r) => {
          z[r]![levels.indexOf(labels[i]!)] = column[i]!;
        });
        return z;
      }),
    };
  });
  const sigmas = fit.result.random.map(({ sd, correlation }) =>
    sd.map((a, i) => sd.map((b, j) => a * b * correlation[i]![j]!)),
  );
  const v = covarianceOf(terms, sigmas, 0);
  rows.forEach((i, r) => {
    v[r]![r]! += fit.result.residualSd ** 2 / (weights ? weights[i]! : 1);
  });
  return v;
}

describe.each(cases.map((one) => [one.name, one] as const))('%s', (_, one) => {
  const fit = fitOf(one.model, one.data);
  const y = numbers(one.data, one.model.outcome);
  const found = influence(fit, one.by);
  const all = y.map((__, i) => i);
  const gls = (rows: readonly number[]) =>
    denseDeviance(
      rows.map((i) => one.x[i]!),
      rows.map((i) => y[i]!),
      covarianceAt(fit, one, rows),
      true,
    );
  const whole = gls(all);
  const sds = fit.result.fixed.map(({ standardError }) => standardError);

  it('is exact to 8 digits with the variance parameters kept', () => {
    expect(found.map(({ level }) => level).sort()).toEqual([...new Set(one.labels)].sort());
    // Eight levels: whole matrices are slow.
    for (const { level, rows, estimates, changes, distance, covarianceRatio } of found.slice(0, 8)) {
      const left = gls(all.filter((i) => one.labels[i] !== level));
      expect(rows).toBe(one.labels.filter((label) => label === level).length);
      const moved = whole.beta.map((value, a) => value - left.beta[a]!);
      left.beta.forEach((value, a) => {
        expect(Math.abs(estimates![a]! - value)).toBeLessThan(1e-8 * sds[a]!);
        expect(Math.abs(changes![a]! - moved[a]!)).toBeLessThan(1e-8 * sds[a]!);
      });
      const { inverse } = invert(whole.phi);
      let cook = 0;
      moved.forEach((a, i) => {
        moved.forEach((b, j) => {
          cook += (a * b * inverse[i]![j]!) / moved.length;
        });
      });
      expect(Math.abs(distance! - cook)).toBeLessThan(1e-8 * (1 + cook));
      const ratio = Math.exp(invert(left.phi).logDeterminant - invert(whole.phi).logDeterminant);
      expect(Math.abs(covarianceRatio! / ratio - 1)).toBeLessThan(1e-8);
    }
  });

  it('one scoring step follows a fit made anew: nearer to it in sum than without the step', () => {
    let kept = 0;
    let stepped = 0;
    for (const { level, estimates, oneStep } of found) {
      const again = fitOf(
        one.model,
        keep(one.data, (i) => one.labels[i] !== level),
      ).result;
      again.fixed.forEach(({ estimate }, a) => {
        kept += ((estimates![a]! - estimate) / sds[a]!) ** 2;
        stepped += ((oneStep!.estimates[a]! - estimate) / sds[a]!) ** 2;
        // In units of a standard error: what deletion says is a refit to a twentieth of it, mostly far nearer
        // (residual SD: to 5%).
        expect(Math.abs(oneStep!.estimates[a]! - estimate)).toBeLessThan(0.05 * sds[a]!);
      });
      expect(Math.abs(oneStep!.residualSd / again.residualSd - 1)).toBeLessThan(0.05);
    }
    expect(stepped).toBeLessThan(Math.max(0.5 * kept, 1e-12));
  });
});

describe('least squares', () => {
  const data = { y: [1, 3, 2, 6, 9], x: [1, 2, 3, 4, 8] };
  const fit = fitOf({ outcome: 'y', fixed: ['intercept', { column: 'x' }] }, data);
  it("row by row: the distance is Cook's, e^2 h / (p s^2 (1 - h)^2)", () => {
    const found = influence(fit, ['a', 'b', 'c', 'd', 'e']);
    const mean = 3.6;
    const sxx = data.x.reduce((sum, x) => sum + (x - mean) ** 2, 0);
    const { fixed, residualSd } = fit.result;
    data.x.forEach((x, i) => {
      const h = 1 / 5 + (x - mean) ** 2 / sxx;
      const e = data.y[i]! - fixed[0]!.estimate - fixed[1]!.estimate * x;
      expect(found[i]!.distance).toBeCloseTo((e * e * h) / (2 * residualSd ** 2 * (1 - h) ** 2), 10);
      expect(found[i]!.covarianceRatio).toBeCloseTo(1 / (1 - h), 10);
    });
  });
  it('says where nothing can be said', () => {
    const only = fitOf(
      { outcome: 'y', fixed: ['intercept', { column: 'arm', levels: ['p', 'q'] }] },
      { y: [1, 3, 2, 6], arm: ['p', 'p', 'p', 'q'] },
    );
    const found = influence(only, ['a', 'b', 'c', 'd']);
    expect(found[3]!.problem).toBe('Without d the rows left do not tell the fixed effects apart.');
    expect(found[3]!.estimates).toBeNull();
    expect(found[0]!.problem).toBeNull();
  });
  it('misuse names the remedy', () => {
    expect(() => influence(fit)).toThrow(/no random group; hand in one label/);
    expect(() => influence(fit, ['a'])).toThrow(/one label for each of the 5 usable rows/);
    expect(() => influence({ ...fit }, ['a'])).toThrow(/influence: only fits of a normal outcome/);
    expect(() => influence(fitOf(cases[0]!.model, sleep), 'golfer')).toThrow(/no group golfer.*Subject/);
  });
});
