import { describe, expect, it } from 'vitest';
import {
  applyTimingShift,
  SKILLED_BODY,
  SKILLED_TIMINGS,
  type SwingBody,
  scaleTorques,
  stretchTimings,
  summarisedDownswing,
} from '../../../src/synthetic/mechanics/index.ts';

describe('applyTimingShift', () => {
  it('moves the torques of the joint named, and no other', () => {
    const moved = applyTimingShift(SKILLED_TIMINGS, { shoulder_ms: -4 });
    expect(moved.shoulder[0]!.onset_s).toBeCloseTo(SKILLED_TIMINGS.shoulder[0]!.onset_s - 0.004, 15);
    expect(moved.wrist).toBe(SKILLED_TIMINGS.wrist);
    expect(moved.trunk).toBe(SKILLED_TIMINGS.trunk);
  });

  it('moves the end with the onset, and stops at the start', () => {
    const torque = { size_Nm: 10, onset_s: 0.02, rise_s: 0.05, end_s: 0.1, fall_s: 0.01 };
    const timings = { ...SKILLED_TIMINGS, trunk: [torque] };
    expect(applyTimingShift(timings, { trunk_ms: 30 }).trunk[0]!.end_s).toBeCloseTo(0.13, 15);
    const early = applyTimingShift(timings, { trunk_ms: -70 }).trunk[0]!;
    // The rise still takes its time.
    expect(early).toMatchObject({ onset_s: 0, end_s: 0.05 });
  });
});

describe('stretched and scaled torques', () => {
  it('keep the path: without gravity twice the torque divides times by sqrt 2 and multiplies speeds by it (torque-scaling invariant)', () => {
    // Joint limits have a time scale of their own, so they are left out; an almost level plane leaves almost no gravity.
    const body: SwingBody = { ...SKILLED_BODY, limits: [], planeInclination_deg: 1e-9 };
    const { give: _, ...arm } = body.trailArm;
    const free = { ...body, trailArm: { ...arm, upperArm_m: 2, elbowToGrip_m: 2 } };
    const once = summarisedDownswing(free, SKILLED_TIMINGS, 1e-11);
    const twice = summarisedDownswing(free, stretchTimings(SKILLED_TIMINGS, Math.SQRT1_2, 2), 1e-11);
    if (once.run === null || twice.run === null) throw new Error('no swing');
    expect(once.run.impact.time_s / twice.run.impact.time_s).toBeCloseTo(Math.SQRT2, 6);
    expect(twice.run.impact.headSpeed_m_s / once.run.impact.headSpeed_m_s).toBeCloseTo(Math.SQRT2, 6);
    expect(twice.run.impact.lag_deg).toBeCloseTo(once.run.impact.lag_deg, 5);
  });

  it('scaleTorques leaves the times', () => {
    const weak = scaleTorques(SKILLED_TIMINGS, 0.5);
    expect(weak.trunk[0]!.size_Nm).toBeCloseTo(SKILLED_TIMINGS.trunk[0]!.size_Nm / 2, 12);
    expect(weak.trunk[0]!.onset_s).toBe(SKILLED_TIMINGS.trunk[0]!.onset_s);
  });
});
