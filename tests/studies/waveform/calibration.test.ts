import { describe, expect, it } from 'vitest';
import { CASES, calibrateWaveform } from '../../bench/calibrate-waveform.ts';

/** A short version of the calibration, whose long one writes reports/calibration-waveform.json. */
describe('calibration of curves, in short', () => {
  it.each([
    'two-sample, 12 golfers, FWHM 25%, no difference',
    'two-sample, 24 golfers, FWHM 25%, one window',
  ])('%s', (name) => {
    const of = CASES.find((candidate) => candidate.name === name)!;
    const row = calibrateWaveform(80, 2, [of])[0]!;
    // Four standard errors of a share of 5 % that many cohorts would give.
    const room = 4 * Math.sqrt((0.05 * 0.95) / row.cohorts);
    expect(row.answered).toBe(row.cohorts);
    expect(1 - row.coverage).toBeLessThan(0.05 + room);
    for (const share of [row.falseWindows, row.falseByPermutation, row.falseByRandomField])
      expect(share).toBeLessThan(0.05 + room);
    expect(Math.abs(row.bias)).toBeLessThan(4 * row.standardError);
    if (of.height > 0) expect(row.peakError_pct!).toBeLessThanOrEqual(3);
  });
});
