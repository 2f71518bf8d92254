/** Residuals against the whole-matrix formulas (dense-oracle.ts), and against least squares by hand. */
import { describe, expect, it } from 'vitest';
import {
  type DataColumns,
  type Fit,
  fitModel,
  type Model,
  residualDiagnostics,
} from '../../../../src/stats/index.ts';
import { covarianceOf, invert, plus, times, transpose, zeros } from '../dense-oracle.ts';
import { MODELS, readColumns } from '../golden.ts';

function fitOf(model: Model, data: DataColumns): Fit {
  const outcome = fitModel(model, data);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  return outcome.fit;
}
const labelled = (labels: readonly string[], column: readonly number[]) => {
  const levels = [...new Set(labels)];
  const z = zeros(labels.length, levels.length);
  labels.forEach((label, i) => {
    z[i]![levels.indexOf(label)] = column[i]!;
  });
  return z;
};
const sleep = readColumns(`${MODELS}sleepstudy.csv`);
const days = Array.from(sleep.Days!, Number);
const penicillin = readColumns(`${MODELS}penicillin.csv`);
const same = Array.from(penicillin.diameter!, () => 1);

describe('residualDiagnostics', () => {
  it.each([
    {
      name: 'slopes for each subject, known weights',
      fit: fitOf(
        {
          outcome: 'Reaction',
          fixed: ['intercept', { column: 'Days' }],
          random: [{ group: 'Subject', effects: ['intercept', 'Days'] }],
          weights: 'weight',
        },
        sleep,
      ),
      y: Array.from(sleep.Reaction!, Number),
      x: days.map((day) => [1, day]),
      terms: [
        {
          designs: [
            labelled(
              sleep.Subject as string[],
              days.map(() => 1),
            ),
            labelled(sleep.Subject as string[], days),
          ],
        },
      ],
      weights: Array.from(sleep.weight!, Number),
    },
    {
      name: 'crossed groups',
      fit: fitOf(
        {
          outcome: 'diameter',
          fixed: ['intercept'],
          random: [
            { group: 'plate', effects: ['intercept'] },
            { group: 'sample', effects: ['intercept'] },
          ],
        },
        penicillin,
      ),
      y: Array.from(penicillin.diameter!, Number),
      x: same.map(() => [1]),
      terms: [
        { designs: [labelled(penicillin.plate as string[], same)] },
        { designs: [labelled(penicillin.sample as string[], same)] },
      ],
      weights: same,
    },
  ])('$name: to 8 digits', ({ fit, y, x, terms, weights }) => {
    const sigmas = fit.result.random.map(({ sd, correlation }) =>
      sd.map((a, i) => sd.map((b, j) => a * b * correlation[i]![j]!)),
    );
    const between = covarianceOf(terms, sigmas, 0);
    const s = fit.result.residualSd ** 2;
    const noise = zeros(y.length, y.length);
    weights.forEach((w, i) => {
      noise[i]![i] = s / w;
    });
    const v = plus(between, noise);
    const inverse = invert(v).inverse;
    const phi = invert(times(times(transpose(x), inverse), x)).inverse;
    const hat = times(times(x, phi), transpose(x));
    const p = plus(inverse, times(times(inverse, hat), inverse), -1);
    const py = times(
      p,
      y.map((value) => [value]),
    );
    const beta = fit.result.fixed.map(({ estimate }) => estimate);
    const found = residualDiagnostics(fit);
    expect(found).toHaveLength(y.length);
    found.forEach((row, i) => {
      const marginal = y[i]! - x[i]!.reduce((sum, value, k) => sum + value * beta[k]!, 0);
      const size = Math.sqrt(s);
      expect(row.row).toBe(i + 1);
      expect(Math.abs(row.marginal - marginal)).toBeLessThan(1e-8 * size);
      // The conditional residual is R P y.
      expect(Math.abs(row.conditional - noise[i]![i]! * py[i]![0]!)).toBeLessThan(1e-8 * size);
      expect(row.marginalStandardised).toBeCloseTo(marginal / Math.sqrt(v[i]![i]! - hat[i]![i]!), 7);
      expect(row.conditionalStandardised).toBeCloseTo(py[i]![0]! / Math.sqrt(p[i]![i]!), 7);
    });
  });

  it('least squares by hand: e / (s sqrt(1 - h)), rows numbered as in the data, null at leverage 1', () => {
    const fit = fitOf(
      { outcome: 'y', fixed: ['intercept', { column: 'arm', levels: ['p', 'q'] }] },
      { y: [1, null, 3, 8, 7], arm: ['p', 'p', 'p', 'p', 'q'] },
    );
    const found = residualDiagnostics(fit);
    expect(found.map(({ row }) => row)).toEqual([1, 3, 4, 5]);
    // p: 1, 3, 8 about 4; s^2 = (9 + 1 + 16) / 2 = 13, h = 1 / 3.
    expect(found[2]!.marginal).toBeCloseTo(4, 12);
    expect(found[2]!.conditionalStandardised).toBeCloseTo(4 / Math.sqrt(13 * (2 / 3)), 12);
    expect(found[2]!.marginalStandardised).toBeCloseTo(4 / Math.sqrt(13 * (2 / 3)), 12);
    expect(found[3]!.conditionalStandardised).toBeNull();
    expect(Math.abs(found[3]!.marginal)).toBeLessThan(1e-12);
  });
});
