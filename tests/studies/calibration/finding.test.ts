import { describe, expect, it } from 'vitest';
import { knownTruths } from '../../../src/studies/calibration/cases/index.ts';
import { coverageStanding, falseStanding } from '../../../src/studies/calibration/standing.ts';
import {
  CALIBRATED_STUDIES,
  type CalibrationRow,
  calibrationFinding,
  findingOfRows,
  serialiseFinding,
} from '../../../src/studies/index.ts';
import { shareInterval } from '../../../src/studies/shared/share-interval.ts';

const ROW: CalibrationRow = {
  study: 'noise',
  case: 'balanced',
  quantity: 'SD',
  truth: 1,
  nothingThere: false,
  cohorts: 2000,
  answered: 2000,
  covered: 0.95,
  coveredError: 0.0049,
  meaningful: null,
  meaningfulError: null,
  mostFalse: null,
  bias: 0,
  standardError: 0.01,
  claim: 'exact',
  why: '',
};
const drawn = { cohorts: 2000, seed: 1 };

/** The row with another coverage, of so many cohorts. */
function covering(covered: number, cohorts = 2000, more: Partial<CalibrationRow> = {}): CalibrationRow {
  const coveredError = Math.sqrt((covered * (1 - covered)) / cohorts);
  return { ...ROW, cohorts, answered: cohorts, covered, coveredError, ...more };
}

describe('where a coverage stands', () => {
  it.each([
    [0.95, 2000, 'exact', 'inside'],
    [0.935, 2000, 'exact', 'inside'],
    [0.934, 2000, 'exact', 'cannot-tell'],
    [0.9, 2000, 'exact', 'too-low'],
    [0.97, 2000, 'exact', 'cannot-tell'],
    [0.985, 2000, 'exact', 'too-high'],
    [0.985, 2000, 'at-least', 'inside'],
    [0.97, 2000, 'at-least', 'inside'],
    [0.9, 2000, 'at-least', 'too-low'],
    [0.95, 200, 'exact', 'cannot-tell'],
    [0.6, 200, 'exact', 'too-low'],
    [0.6, 2000, 'none', 'not-claimed'],
  ] as const)('%f over %i cohorts with the promise %s: %s', (covered, cohorts, claim, standing) => {
    expect(coverageStanding(covering(covered, cohorts, { claim }))).toBe(standing);
  });

  it('has no interval where no cohort gave one', () => {
    expect(coverageStanding({ ...ROW, covered: null, answered: 0 })).toBe('no-interval');
  });

  it.each([
    [0.01, 0.05, 'seldom'],
    [0.05, 0.05, 'seldom'],
    [0.055, 0.05, 'cannot-tell'],
    [0.055, 0.06, 'seldom'],
    [0.08, 0.05, 'too-often'],
    [0.5, null, 'not-asked'],
  ] as const)('a share %f of false alarms, at most %s: %s', (meaningful, mostFalse, standing) => {
    expect(falseStanding({ ...ROW, meaningful, mostFalse })).toBe(standing);
  });

  it('by intervals of shares as published', () => {
    // Newcombe 1998, Stat Med 17:857-872, table I, score method without correction for continuity; figures from memory.
    for (const [found, of, low, high] of [
      [81, 263, 0.2553, 0.3662],
      [15, 148, 0.0624, 0.1605],
      [0, 20, 0, 0.1611],
      [1, 29, 0.0061, 0.1718],
    ] as const) {
      const interval = shareInterval(found / of, of, 0.95);
      expect(interval[0]).toBeCloseTo(low, 4);
      expect(interval[1]).toBeCloseTo(high, 4);
    }
  });
});

describe('what is said', () => {
  const answer = (...rows: CalibrationRow[]) => findingOfRows(rows, drawn);

  it('of every outcome, in words of its own', () => {
    expect(answer(ROW)).toMatchObject({ verdict: 'too-small-to-matter' });
    const open = answer(ROW, covering(0.95, 200));
    expect(open.verdict).toBe('cannot-tell');
    expect(open.answer).toContain('1 count of 2 lies at an edge of the band or rest on too few cohorts');
    expect(open.next![0]).toContain('--cohorts');
    const none = answer(covering(0.5, 2000, { claim: 'none', why: 'No control.' }));
    expect(none).toMatchObject({
      verdict: 'cannot-tell',
      answer: 'Nothing that promises 95% could be counted here.',
    });
    expect(none.cautions.join(' ')).toContain('Of 1 row no claim is made');
    expect(none.estimates[0]).toMatchObject({ value: null, interval: [null, null] });
    const often = answer({ ...ROW, meaningful: 0.08, mostFalse: 0.05, nothingThere: true });
    expect(often.verdict).toBe('meaningful');
    expect(often.answer).toContain('found too often where nothing is there');
    const two = answer(covering(0.8), covering(0.7, 2000, { case: 'few', why: 'Few golfers.' }));
    expect(two.answer).toContain('noise, SD (2 kinds of cohort) are too sure');
    expect(two.checks[0]!.words).toContain(
      'few, SD: 70% (Monte Carlo 68.0 to 72.0%), too sure. Few golfers.',
    );
  });

  it('of cohorts without an answer, and of bias', () => {
    const { checks } = answer({ ...ROW, answered: 1990, bias: 0.05 });
    const outcome = (start: string) => checks.find(({ name }) => name.startsWith(start));
    expect(outcome('Every cohort')).toMatchObject({ outcome: 'look' });
    expect(outcome('Every cohort')!.words).toContain('10 of 2000');
    expect(outcome('Estimates')).toMatchObject({ outcome: 'look' });
    expect(outcome('Estimates')!.words).toContain('by 0.05');
    expect(outcome('Where nothing')).toMatchObject({ outcome: 'not-possible' });
  });

  it('not without rows', () => {
    expect(() => findingOfRows([], drawn)).toThrow('findingOfRows: there is no row');
  });
});

describe('drawing', () => {
  const quick = { studies: ['one-golfer', 'noise'], cohorts: 3, seed: 5 } as const;

  it('gives the same bytes for a seed, on one thread and on two, and other numbers for another', async () => {
    const one = await calibrationFinding(quick);
    const two = await calibrationFinding({ ...quick, workers: 2 });
    const other = await calibrationFinding({ ...quick, seed: 6 });
    if (!one.ok || !two.ok || !other.ok) throw new Error('refused');
    expect(serialiseFinding(two.finding)).toBe(serialiseFinding(one.finding));
    expect(serialiseFinding(other.finding)).not.toBe(serialiseFinding(one.finding));
    expect(one.finding.provenance.command).toEqual([
      'calibrate',
      '--study noise,one-golfer',
      '--cohorts 3',
      '--seed 5',
    ]);
  }, 60_000);

  it('has cohorts for every study with an interval, and some of each without an effect', () => {
    for (const study of CALIBRATED_STUDIES) {
      const rows = knownTruths
        .filter((kind) => kind.study === study)
        .slice(0, 2)
        .flatMap((kind) => kind.rows(2, 1));
      expect(rows.length, study).toBeGreaterThan(0);
      expect(rows.some(({ nothingThere }) => nothingThere) || study === 'mechanism', study).toBe(true);
      for (const row of rows) expect(JSON.stringify(row)).not.toContain('NaN');
    }
  }, 60_000);

  it('refuses what makes no sense, all at once', async () => {
    const outcome = await calibrationFinding({ studies: ['plan'], cohorts: 1, seed: -1, workers: 0.5 });
    if (outcome.ok) throw new Error('not refused');
    expect(outcome.problems.map(({ where }) => where)).toEqual([
      '--study',
      '--cohorts',
      '--seed',
      '--workers',
    ]);
    expect((await calibrationFinding({ studies: [] })).ok).toBe(false);
  });
});
