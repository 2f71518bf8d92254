import { describe, expect, it } from 'vitest';
import {
  type DownswingRun,
  DRIVES_ELBOW_IN_TIMINGS,
  HOLDS_TIMINGS,
  OPENS_EARLY_TIMINGS,
  SKILLED_BODY,
  SKILLED_TIMINGS,
  type SwingTimings,
  simulateDownswing,
} from '../../../src/synthetic/mechanics/index.ts';

function run(timings: SwingTimings): DownswingRun {
  const swing = simulateDownswing(SKILLED_BODY, timings);
  if (swing.run === null) throw new Error(swing.fault.found);
  return swing.run;
}
const releaseBefore = (swing: DownswingRun): number => swing.impact.time_s - swing.release_s!;

describe('simulateDownswing', () => {
  const skilled = run(SKILLED_TIMINGS);

  it('has a skilled golfer within one SD of the peak angular speeds of Zheng et al. (2008)', () => {
    expect(Math.abs(skilled.elbowExtensionPeak_deg_s - 854)).toBeLessThan(150);
    expect(Math.abs(skilled.wristSpeedPeak_deg_s - 1085)).toBeLessThan(338);
    expect(Math.abs(skilled.clubSpeedPeak_deg_s - 2413)).toBeLessThan(442);
  });

  it('has the downswing time, lean, attack and head speed set for skilled golfers with an iron', () => {
    // Design assumptions: 0.28 (SD 0.03) s, lean 8 (3), attack -4 (1.5), lag 20 (8), elbow 38 (10) deg. Healy et al. (2011): about 37.8 m/s.
    expect(Math.abs(skilled.impact.time_s - 0.28)).toBeLessThan(0.03);
    expect(Math.abs(skilled.impact.lean_deg - 8)).toBeLessThan(3);
    expect(Math.abs(skilled.impact.attackAngle_deg + 4)).toBeLessThan(1.5);
    expect(Math.abs(skilled.impact.lag_deg - 20)).toBeLessThan(8);
    expect(Math.abs(skilled.impact.trailElbow_deg - 38)).toBeLessThan(10);
    expect(Math.abs(skilled.impact.headSpeed_m_s - 37.8)).toBeLessThan(3);
    expect(skilled.lowPoint_cm!).toBeGreaterThan(0);
  });

  it('bends and straightens the trail elbow as teachers commonly say (common practice, no source)', () => {
    expect(skilled.elbowAtTop_deg).toBeGreaterThan(80);
    expect(skilled.elbowAtTop_deg).toBeLessThan(90);
    expect(skilled.elbowRecoil_deg).toBeGreaterThan(0);
    expect(skilled.elbowRecoil_deg).toBeLessThan(4);
    expect(skilled.transitionElbowChange_deg!).toBeLessThan(0);
    expect(skilled.lagPeak_deg - skilled.series.lag_deg[0]!).toBeGreaterThan(5);
    expect(skilled.fullExtension_s! - skilled.impact.time_s).toBeLessThan(0.06);
  });

  it('keeps account of its energy, the work of torques and joints included', () => {
    expect(skilled.kineticAtImpact_J).toBeGreaterThan(100);
    expect(Math.abs(skilled.energyDrift_J) / skilled.kineticAtImpact_J).toBeLessThan(1e-9);
  });

  it('holding the arm brings the release nearer to impact, opening early moves it away', () => {
    const [early, held, driven] = [OPENS_EARLY_TIMINGS, HOLDS_TIMINGS, DRIVES_ELBOW_IN_TIMINGS].map(run);
    expect(releaseBefore(held!)).toBeLessThan(releaseBefore(skilled));
    expect(releaseBefore(driven!)).toBeLessThan(releaseBefore(skilled));
    expect(releaseBefore(early!)).toBeGreaterThan(releaseBefore(skilled));
    expect(held!.impact.trailElbow_deg).toBeGreaterThan(skilled.impact.trailElbow_deg);
    expect(early!.impact.lean_deg).toBeLessThan(skilled.impact.lean_deg);
  });

  it('refuses bodies and timings that cannot be, as values', () => {
    const short = {
      ...SKILLED_BODY,
      trailArm: { ...SKILLED_BODY.trailArm, upperArm_m: 0.1, elbowToGrip_m: 0.1 },
    };
    expect(simulateDownswing(short, SKILLED_TIMINGS)).toMatchObject({
      run: null,
      fault: { kind: 'impossible-body', problems: [{ where: 'trailArm' }] },
    });
    const weightless = { ...SKILLED_BODY, club: { ...SKILLED_BODY.club, mass_kg: -1 } };
    expect(simulateDownswing(weightless, SKILLED_TIMINGS)).toMatchObject({
      run: null,
      fault: { kind: 'impossible-body', problems: [{ where: 'club.mass_kg' }] },
    });
    const backwards = { ...SKILLED_TIMINGS, wrist: [{ ...SKILLED_TIMINGS.wrist[0]!, onset_s: -1 }] };
    expect(simulateDownswing(SKILLED_BODY, backwards)).toMatchObject({
      fault: { kind: 'impossible-timings' },
    });
  });
});
