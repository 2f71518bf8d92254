import { describe, expect, it } from 'vitest';
import { knownTruths } from '../../../src/studies/calibration/cases/index.ts';

/** Cohorts of each kind drawn here, by the time they take; reports/calibration has 2,000 of each. */
const COHORTS = {
  noise: 100,
  'one-golfer': 60,
  mechanism: 30,
  instructors: 30,
  waveform: 40,
  'drill-trial': 30,
};
/** Of the studies whose cohorts take longest, the kinds drawn here. */
const ONLY: Readonly<Record<string, readonly string[]>> = {
  waveform: [
    'two-sample, 12 golfers, FWHM 25%, no difference',
    'two-sample, 24 golfers, FWHM 25%, one window',
  ],
  'drill-trial': [
    'parallel groups, no effect',
    'crossover, 16 golfers',
    'stepped start, no effect',
    'parallel groups, 4 each, two visits in a phase',
  ],
};
/** Monte Carlo standard errors that a share may lie on the wrong side of what is promised. */
const ROOM = 4;

describe('a short calibration', () => {
  it.each(
    knownTruths
      .filter(({ study, name }) => ONLY[study]?.includes(name) ?? true)
      .map((kind) => [`${kind.study}: ${kind.name}`, kind] as const),
  )(
    '%s',
    (_, { study, rows }) => {
      for (const row of rows(COHORTS[study], 21)) {
        const { quantity, cohorts, covered, claim, meaningful, mostFalse, nothingThere } = row;
        const errorOf = (share: number) => Math.sqrt((share * (1 - share)) / cohorts);
        if (claim !== 'none' && covered !== null)
          expect(covered, quantity).toBeGreaterThan(0.95 - ROOM * errorOf(0.95));
        if (nothingThere && meaningful !== null && mostFalse !== null)
          expect(meaningful, quantity).toBeLessThanOrEqual(mostFalse + ROOM * errorOf(mostFalse));
      }
    },
    60_000,
  );

  it('draws what it names', () => {
    for (const [study, names] of Object.entries(ONLY))
      for (const name of names)
        expect(
          knownTruths.some((kind) => kind.study === study && kind.name === name),
          name,
        ).toBe(true);
  });
});
