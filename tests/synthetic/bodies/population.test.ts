import { describe, expect, it } from 'vitest';
import { LEVELS, type Population, simulatePopulation } from './population.ts';

// The same with 1,000 golfers and eleven swings each: tests/bench/calibrate-golfers.ts, reports/simulated-golfers.json.
const skilled = simulatePopulation({ golfers: 200, skill: LEVELS.skilled, seed: 2026, swings: 0 });
const lessSkilled = simulatePopulation({ golfers: 200, skill: LEVELS.lessSkilled, seed: 2026, swings: 0 });

const published = (of: Population, name: string) => of.published.find((line) => line.name === name)!;
const mean = (of: Population, name: string): number => of.values[name]!.golfers.mean;

describe('200 simulated skilled golfers', () => {
  it('have the peak angular speeds of Zheng et al. (2008): the elbow on average, wrist and shaft within two SD', () => {
    const elbow = published(skilled, 'elbow_extension_speed_peak_dps');
    expect(Math.abs(elbow.mean - 854)).toBeLessThan(75);
    expect(Math.abs(elbow.sd - 150)).toBeLessThan(50);
    expect(elbow.within2Sd).toBeGreaterThan(0.85);
    // A hinge in a plane takes all of the shaft's turn from the wrist, so the wrist is fast and the shaft of a short iron slow.
    for (const name of ['wristSpeedPeak_dps', 'shaftSpeedPeak_dps']) {
      const speed = published(skilled, name);
      expect(Math.abs(speed.mean - speed.publishedMean)).toBeLessThan(speed.publishedSd);
      expect(speed.within2Sd).toBeGreaterThan(0.95);
    }
  });

  it('have the head speed of fast 5-iron players (Healy et al. 2011) and the downswing time set for the cohorts', () => {
    expect(Math.abs(mean(skilled, 'club_speed_mps') - 37.8)).toBeLessThan(0.75);
    expect(published(skilled, 'club_speed_mps').within2Sd).toBeGreaterThan(0.8);
    expect(published(skilled, 'downswing_ms').within2Sd).toBeGreaterThan(0.95);
  });

  it('bend and straighten the trail elbow as teachers commonly say (common practice, no source)', () => {
    for (const [fact, share] of Object.entries(skilled.shape))
      expect(share, fact).toBeGreaterThan(fact.startsWith('elbow 80') ? 0.85 : 0.95);
    expect(Object.keys(skilled.shape)).toHaveLength(6);
  });

  it('differ from less skilled ones as the cohorts were set', () => {
    // Design assumptions for the less skilled: elbow at impact 30 (12), lean 0 (5) deg; head speed 29.3 m/s implied by Healy et al.
    expect(Math.abs(mean(lessSkilled, 'trail_elbow_flexion_impact_deg') - 30)).toBeLessThan(12);
    expect(Math.abs(mean(lessSkilled, 'shaft_lean_impact_deg'))).toBeLessThan(2 * 5);
    expect(Math.abs(mean(lessSkilled, 'club_speed_mps') - 29.3)).toBeLessThan(2);
    expect(mean(lessSkilled, 'release_onset_ms')).toBeGreaterThan(mean(skilled, 'release_onset_ms') + 15);
    expect(mean(lessSkilled, 'shaft_lean_impact_deg')).toBeLessThan(
      mean(skilled, 'shaft_lean_impact_deg') - 2,
    );
  });

  it('are hardly ever drawn again, and it is counted when they are', () => {
    const again = (of: Population): number => Object.values(of.redraws).reduce((sum, n) => sum + n, 0) / 200;
    const none = (of: Population): number =>
      Object.values(of.faults).reduce((sum, n) => sum + n, 0) / of.swings;
    expect(again(skilled)).toBeLessThan(0.01);
    expect(again(lessSkilled)).toBeLessThan(0.05);
    expect(none(skilled)).toBeLessThan(0.01);
    expect(none(lessSkilled)).toBeLessThan(0.03);
  });
});
