import { describe, expect, it } from 'vitest';
import {
  applyTimingShift,
  type DownswingRun,
  type DownswingSummary,
  DRIVES_ELBOW_IN_TIMINGS,
  EARLY_FROM_CHEST_TIMINGS,
  EARLY_WRIST_TIMINGS,
  HOLDS_ANGLE_TIMINGS,
  HOLDS_TIMINGS,
  SKILLED_BODY,
  SKILLED_TIMINGS,
  type SwingTimings,
  simulateDownswing,
  summarisedDownswing,
} from '../../../src/synthetic/mechanics/index.ts';

function run(timings: SwingTimings): DownswingRun {
  const swing = simulateDownswing(SKILLED_BODY, timings);
  if (swing.run === null) throw new Error(swing.fault.found);
  return swing.run;
}
const releaseBefore = (swing: DownswingRun): number => swing.impact.time_s - swing.release_s!;
/** How long before impact the lag last was so large, s. */
function lagLeft(swing: DownswingRun, lag_deg: number): number {
  const { time_s, lag_deg: lag } = swing.series;
  const last = lag.findLastIndex((value, k) => time_s[k]! < swing.impact.time_s && value >= lag_deg);
  return swing.impact.time_s - time_s[last]!;
}

describe('simulateDownswing', () => {
  const skilled = run(SKILLED_TIMINGS);

  it('has a skilled golfer within two SD of the peak angular speeds of Zheng et al. (2008), the elbow within one', () => {
    expect(Math.abs(skilled.elbowExtensionPeak_deg_s - 854)).toBeLessThan(150);
    expect(Math.abs(skilled.wristSpeedPeak_deg_s - 1085)).toBeLessThan(2 * 338);
    expect(Math.abs(skilled.clubSpeedPeak_deg_s - 2413)).toBeLessThan(2 * 442);
  });

  it('has the downswing time, lean, attack and head speed set for skilled golfers with an iron', () => {
    // Design assumptions: 0.28 (SD 0.03) s, lean 8 (3), attack -4 (1.5), lag 20 (8), elbow 38 (10) deg. Healy et al. (2011): about 37.8 m/s.
    expect(Math.abs(skilled.downswing_s - 0.28)).toBeLessThan(0.03);
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
    expect(skilled.elbowRecoil_deg).toBeGreaterThanOrEqual(0);
    expect(skilled.elbowRecoil_deg).toBeLessThan(4);
    expect(skilled.transitionElbowChange_deg!).toBeLessThan(0);
    expect(skilled.lagPeak_deg - skilled.lagAtTop_deg).toBeGreaterThan(5);
    expect(skilled.impact.trailElbow_deg).toBeGreaterThan(20);
    expect(skilled.fullExtension_s! - skilled.impact.time_s).toBeGreaterThan(0);
    expect(skilled.fullExtension_s! - skilled.impact.time_s).toBeLessThan(0.06);
  });

  it('takes the top from where the club turns round, as the catalogue does', () => {
    const { time_s, club_deg_s, trailElbow_deg } = skilled.series;
    const turns = time_s.findLastIndex((time, k) => time < skilled.impact.time_s && club_deg_s[k]! < 0);
    expect(skilled.top_s).toBeGreaterThanOrEqual(time_s[turns]!);
    expect(skilled.top_s).toBeLessThanOrEqual(time_s[turns + 1]!);
    expect(skilled.downswing_s).toBeCloseTo(skilled.impact.time_s - skilled.top_s, 12);
    expect(Math.abs(skilled.elbowAtTop_deg - trailElbow_deg[turns]!)).toBeLessThan(0.1);
  });

  it('keeps account of its energy, the work of torques and joints included', () => {
    expect(skilled.kineticAtImpact_J).toBeGreaterThan(100);
    expect(Math.abs(skilled.energyDrift_J) / skilled.kineticAtImpact_J).toBeLessThan(1e-9);
  });

  it('finds peaks and passages between its looks where a fine series has them', () => {
    for (const timings of [SKILLED_TIMINGS, HOLDS_TIMINGS, EARLY_WRIST_TIMINGS]) {
      const swing = run(timings);
      const { series } = swing;
      const inside = series.time_s.findIndex((time) => time > swing.impact.time_s);
      const top = series.time_s.findIndex((time) => time >= swing.top_s);
      const most = (values: Float64Array): number => Math.max(...values.subarray(top, inside));
      // A peak can lie between two milliseconds, or at impact itself: above the series, by no more than a millisecond brings.
      for (const [found, sampled, near] of [
        [swing.elbowExtensionPeak_deg_s, most(series.trailElbow_deg_s.map((v) => -v)), 25],
        [swing.clubSpeedPeak_deg_s, most(series.club_deg_s), 10],
        [swing.handSpeedPeak_m_s, most(series.handSpeed_m_s), 1e-3],
        [swing.elbowAtTop_deg + swing.elbowRecoil_deg, most(series.trailElbow_deg), 0.1],
      ] as const) {
        expect(found).toBeGreaterThanOrEqual(sampled - 1e-6);
        expect(found - sampled).toBeLessThan(near);
      }
      expect(Math.abs(lagLeft(swing, 0.9 * swing.lagPeak_deg) - releaseBefore(swing))).toBeLessThan(1e-3);
    }
  });
});

describe('one mechanism at a time', () => {
  const skilled = run(SKILLED_TIMINGS);

  it('holding on to the angle of the wrist brings the release forward: earlier, by every measure of it, with less lean left', () => {
    const held = run(HOLDS_ANGLE_TIMINGS);
    expect(held.lagPeak_deg).toBeGreaterThan(skilled.lagPeak_deg);
    expect(releaseBefore(held)).toBeGreaterThan(releaseBefore(skilled) + 0.005);
    for (const lag of [95, 80, 60]) expect(lagLeft(held, lag)).toBeGreaterThan(lagLeft(skilled, lag) + 0.003);
    expect(held.impact.lean_deg).toBeLessThan(skilled.impact.lean_deg);
    // The arm is left alone until the club pulls on it.
    expect(Math.abs(held.transitionElbowChange_deg! - skilled.transitionElbowChange_deg!)).toBeLessThan(0.5);
  });

  it('driving the arm off the chest early, alone, straightens the elbow early; the release comes earlier too and the shaft leans less', () => {
    const early = run(EARLY_FROM_CHEST_TIMINGS);
    expect(early.transitionElbowChange_deg!).toBeLessThan(skilled.transitionElbowChange_deg! - 3);
    expect(early.elbowExtensionOnset_s! - early.top_s).toBeLessThan(
      skilled.elbowExtensionOnset_s! - skilled.top_s - 0.03,
    );
    expect(early.impact.trailElbow_deg).toBeLessThan(skilled.impact.trailElbow_deg);
    expect(releaseBefore(early)).toBeGreaterThan(releaseBefore(skilled));
    expect(early.impact.lean_deg).toBeLessThan(skilled.impact.lean_deg);
  });

  it('letting the wrist go early, alone, leaves the elbow until late, and costs lag, lean and speed', () => {
    const early = run(EARLY_WRIST_TIMINGS);
    expect(Math.abs(early.transitionElbowChange_deg! - skilled.transitionElbowChange_deg!)).toBeLessThan(1);
    expect(early.lagPeak_deg).toBeLessThan(skilled.lagPeak_deg - 3);
    expect(releaseBefore(early)).toBeGreaterThan(releaseBefore(skilled));
    expect(early.impact.lean_deg).toBeLessThan(skilled.impact.lean_deg);
    expect(early.impact.headSpeed_m_s).toBeLessThan(skilled.impact.headSpeed_m_s);
  });

  it('holding the arm on the chest, or driving it in, keeps the elbow bent past the top, which skilled golfers do not do', () => {
    for (const timings of [HOLDS_TIMINGS, DRIVES_ELBOW_IN_TIMINGS]) {
      const held = run(timings);
      expect(held.elbowRecoil_deg).toBeGreaterThan(1);
      expect(held.transitionElbowChange_deg!).toBeGreaterThan(0);
      expect(held.impact.trailElbow_deg).toBeGreaterThan(skilled.impact.trailElbow_deg);
      expect(releaseBefore(held)).toBeLessThan(releaseBefore(skilled));
      // The price: the head passes the ball above it, by centimetres.
      expect(skilled.impact.headDepth_m - held.impact.headDepth_m).toBeGreaterThan(0.02);
    }
    for (const timings of [EARLY_FROM_CHEST_TIMINGS, EARLY_WRIST_TIMINGS, HOLDS_ANGLE_TIMINGS]) {
      expect(run(timings).elbowRecoil_deg).toBeLessThan(1);
      expect(run(timings).transitionElbowChange_deg!).toBeLessThan(0);
    }
  });

  it('does not break when the onset of the shoulder moves by 20 ms either way, and the elbow moves about a degree a millisecond', () => {
    for (const by of [-20, -10, -5, 5, 10, 20]) {
      const swing = summarisedDownswing(SKILLED_BODY, applyTimingShift(SKILLED_TIMINGS, { shoulder_ms: by }));
      if (swing.run === null) throw new Error(swing.fault.found);
      const change = swing.run.impact.trailElbow_deg - skilled.impact.trailElbow_deg;
      expect(Math.sign(change)).toBe(Math.sign(by));
      expect(Math.abs(change / by)).toBeLessThan(1.5);
      expect(swing.run.elbowExtensionPeak_deg_s).toBeLessThan(1154);
    }
  });
});

describe('summarisedDownswing', () => {
  /** Decimals with which a table shows it. */
  const SHOWN: readonly [keyof DownswingSummary | keyof DownswingSummary['impact'], number, number][] = [
    ['downswing_s', 1000, 1],
    ['release_s', 1000, 1],
    ['elbowExtensionOnset_s', 1000, 1],
    ['elbowAtTop_deg', 1, 1],
    ['elbowRecoil_deg', 1, 1],
    ['transitionElbowChange_deg', 1, 1],
    ['elbowExtensionPeak_deg_s', 1, 1],
    ['lagPeak_deg', 1, 1],
    ['lagAtDelivery_deg', 1, 1],
    ['handSpeedPeak_m_s', 1, 2],
    ['lowPoint_cm', 1, 1],
    ['lean_deg', 1, 1],
    ['lag_deg', 1, 1],
    ['trailElbow_deg', 1, 1],
    ['attackAngle_deg', 1, 1],
    ['headSpeed_m_s', 1, 2],
  ];
  const read = (swing: DownswingSummary, key: string): number =>
    ({ ...swing, ...swing.impact })[key as keyof DownswingSummary] as number;
  const worst = (timings: SwingTimings, tolerance: number | undefined): number => {
    const swing = summarisedDownswing(SKILLED_BODY, timings, tolerance).run!;
    const exact = summarisedDownswing(SKILLED_BODY, timings, 1e-12).run!;
    // In units of the last decimal shown.
    return Math.max(
      ...SHOWN.map(
        ([key, unit, decimals]) => Math.abs(read(swing, key) - read(exact, key)) * unit * 10 ** decimals,
      ),
    );
  };

  it('is as exact as a table shows, at the tolerance it has unless another is given, and converges', () => {
    for (const timings of [SKILLED_TIMINGS, HOLDS_TIMINGS, EARLY_FROM_CHEST_TIMINGS, EARLY_WRIST_TIMINGS]) {
      expect(worst(timings, undefined)).toBeLessThan(0.5);
      expect(worst(timings, 1e-9)).toBeLessThan(0.01);
      expect(worst(timings, 1e-9)).toBeLessThan(worst(timings, 1e-5) / 50);
    }
  });

  it('is the run without its series', () => {
    const { series, ...rest } = run(SKILLED_TIMINGS);
    expect(series.time_s.length).toBeGreaterThan(200);
    expect(summarisedDownswing(SKILLED_BODY, SKILLED_TIMINGS, 1e-9).run).toEqual(rest);
  });
});
