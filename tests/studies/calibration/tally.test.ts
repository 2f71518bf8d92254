import { describe, expect, it } from 'vitest';
import { createStream, studentQuantile } from '../../../src/numerics/index.ts';
import { found, Tally } from '../../../src/studies/calibration/tally.ts';
import { type CalibrationRow, findingOfRows } from '../../../src/studies/index.ts';

/** Means of ten normal values with their t interval, made narrower or wider. */
function meansOfTen(times: number, cohorts: number, seed: number, truth = 0): CalibrationRow {
  const tally = new Tally();
  const quantile = studentQuantile(0.975, 9);
  for (let k = 0; k < cohorts; k++) {
    const stream = createStream(seed, 'means', k);
    const values = Array.from({ length: 10 }, () => truth + 2 * stream.normal());
    const mean = values.reduce((sum, value) => sum + value, 0) / 10;
    const variance = values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / 9;
    const half = times * quantile * Math.sqrt(variance / 10);
    tally.count([found(mean, [mean - half, mean + half], truth)]);
    tally.verdict(Math.abs(mean) - half > 0);
  }
  return tally.row(
    { study: 'noise', case: 'ten values', quantity: 'mean', truth, nothingThere: truth === 0 },
    cohorts,
  );
}

describe('an interval that is known to be right', () => {
  const row = meansOfTen(1, 2000, 11, 3);

  it('holds the truth in 95% within Monte Carlo error, without bias', () => {
    expect(Math.abs(row.covered! - 0.95)).toBeLessThan(4 * Math.sqrt((0.95 * 0.05) / 2000));
    expect(row.coveredError).toBeCloseTo(Math.sqrt((row.covered! * (1 - row.covered!)) / 2000), 9);
    expect(Math.abs(row.bias!)).toBeLessThan(4 * row.standardError!);
    // Standard error of the mean of 2,000 means of ten values of SD 2.
    expect(row.standardError).toBeCloseTo(2 / Math.sqrt(10) / Math.sqrt(2000), 3);
  });

  it('is called as good as its word', () => {
    const finding = findingOfRows([row], { cohorts: 2000, seed: 11 });
    expect(finding.verdict).toBe('too-small-to-matter');
    expect(finding.answer).toMatch(/^Yes: all 1 kinds/);
  });
});

describe('an over-confident method, its interval halved', () => {
  const row = meansOfTen(0.5, 2000, 11);

  it('holds the truth as often as Student\u2019s distribution says', () => {
    // P(|T| < 2.262157162740992 / 2) with 9 degrees of freedom, 0.71273969, by 2 * stats.t.cdf(2.262157162740992 / 2, 9) - 1 in SciPy 1.17.1.
    const expected = 0.71273969;
    expect(Math.abs(row.covered! - expected)).toBeLessThan(4 * Math.sqrt((expected * (1 - expected)) / 2000));
  });

  it('is caught, with its name, as too sure and as finding what is not there', () => {
    const finding = findingOfRows([meansOfTen(1, 2000, 12), row], { cohorts: 2000, seed: 11 });
    expect(finding.verdict).toBe('meaningful');
    expect(finding.answer).toContain('noise, mean (1 kind of cohort) is too sure');
    expect(finding.answer).toContain('found too often where nothing is there');
    expect(finding.tables.rows.map(({ standing }) => standing)).toEqual(['inside', 'too-low']);
    expect(finding.estimates[0]).toMatchObject({ key: 'largest-miss', unit: 'percentage points' });
    expect(finding.estimates[0]!.value).toBeCloseTo(100 * (row.covered! - 0.95), 9);
    expect(finding.checks[0]).toMatchObject({ outcome: 'bad' });
    expect(finding.checks.find(({ name }) => name.startsWith('Where nothing'))).toMatchObject({
      outcome: 'bad',
    });
  });

  it('is caught as wider than needed where it is made half as wide again', () => {
    const wide = meansOfTen(1.5, 2000, 11, 3);
    const finding = findingOfRows([wide], { cohorts: 2000, seed: 11 });
    expect(finding.verdict).toBe('meaningful');
    expect(finding.answer).toContain('wider than needed');
  });
});

describe('a tally', () => {
  it('takes Monte Carlo error from cohort to cohort where a cohort gives several intervals', () => {
    const tally = new Tally();
    // Four intervals each that stand or fall together: as good as one.
    for (let k = 0; k < 100; k++)
      tally.count(Array.from({ length: 4 }, () => ({ value: 1, truth: 0, held: k % 4 > 0 })));
    const row = tally.row({ study: 'noise', case: 'c', quantity: 'q' }, 100);
    expect(row.covered).toBe(0.75);
    expect(row.coveredError).toBeCloseTo(Math.sqrt((0.75 * 0.25) / 100), 7);
    expect(row).toMatchObject({
      answered: 100,
      bias: 1,
      standardError: 0,
      meaningful: null,
      mostFalse: null,
    });
  });

  it('gives null and no number where nothing was counted', () => {
    const row = new Tally().row({ study: 'noise', case: 'c', quantity: 'q' }, 10);
    expect(row).toMatchObject({ answered: 0, covered: null, coveredError: null, bias: null });
    expect(findingOfRows([row], { cohorts: 10, seed: 1 })).toMatchObject({ verdict: 'cannot-tell' });
  });
});
