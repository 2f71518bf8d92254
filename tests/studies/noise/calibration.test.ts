import { describe, expect, it } from 'vitest';
import { calibrateNoise } from '../../bench/calibrate-noise.ts';

describe('intervals of noise on known truth', () => {
  it('hold the truth about as often as they say: 300 cohorts a case (2,000 in reports/calibration-noise.json)', () => {
    for (const { case: name, quantity, covered, meaningful } of calibrateNoise(300, 4)) {
      // Four Monte Carlo standard errors below 95%; limits of agreement from 8 golfers are known to be wide.
      expect(covered, `${name}, ${quantity}`).toBeGreaterThan(0.9);
      if (meaningful !== null) expect(meaningful, name).toBeLessThan(0.06);
    }
  });
});
