import { describe, expect, it } from 'vitest';
import {
  IRON_PENDULUM,
  IRON_SWING,
  JORGENSEN_PENDULUM,
  JORGENSEN_SWING,
  steadyTorque,
  swingDoublePendulum,
} from '../../../src/synthetic/mechanics/index.ts';

const NO_TORQUE = steadyTorque(0);

describe('the double pendulum', () => {
  it("meets the check values of Jorgensen's parameters", () => {
    // Jorgensen (1999) as in Bourg (2002); values of an accurate integration that was made independently of this one.
    const run = swingDoublePendulum(JORGENSEN_PENDULUM, JORGENSEN_SWING);
    expect(run.impact!.time_s).toBeCloseTo(0.28835, 5);
    expect(run.impact!.headSpeed_m_s).toBeCloseTo(40.24, 3);
    expect(run.impact!.cock_deg).toBeCloseTo(35.84, 2);
    expect(run.impact!.arm_deg).toBeCloseTo(-30.84, 2);
    const vertical = swingDoublePendulum(JORGENSEN_PENDULUM, { ...JORGENSEN_SWING, impactShaft_deg: 0 });
    expect(vertical.impact!.time_s).toBeCloseTo(0.29139, 5);
    expect(vertical.impact!.headSpeed_m_s).toBeCloseTo(42.516, 3);
    expect(Math.abs(vertical.impact!.cock_deg - 34.01)).toBeLessThan(0.01);
  });

  it('meets the check values of a club like an iron, released by its own pull', () => {
    const run = swingDoublePendulum(IRON_PENDULUM, IRON_SWING);
    expect(run.release!.arm_deg).toBeCloseTo(92.69, 2);
    expect(run.impact!.time_s).toBeCloseTo(0.2915, 4);
    expect(Math.abs(run.impact!.headSpeed_m_s - 37.088)).toBeLessThan(0.001);
    expect(run.impact!.time_s - run.release!.time_s).toBeCloseTo(0.1517, 4);
    expect(run.impact!.cock_deg).toBeCloseTo(31.83, 2);
    const weaker = swingDoublePendulum(IRON_PENDULUM, { ...IRON_SWING, hub: steadyTorque(80) });
    expect(weaker.impact!.time_s).toBeCloseTo(0.3191, 4);
    expect(weaker.impact!.headSpeed_m_s).toBeCloseTo(33.852, 3);
  });

  it('without gravity lets go after Jc / (2 R S), whatever the torque; twice the torque goes the same way faster by the root of 2', () => {
    const still = { ...IRON_PENDULUM, gravity_m_s2: 0 };
    const turn = ((0.245 / (2 * 0.62 * 0.42 * 0.66)) * 180) / Math.PI;
    expect(turn).toBeCloseTo(40.8389, 4);
    const [one, two] = [80, 160].map((size) =>
      swingDoublePendulum(still, { ...IRON_SWING, hub: steadyTorque(size) }),
    );
    for (const run of [one!, two!]) expect(Math.abs(run.release!.turned_deg / turn - 1)).toBeLessThan(1e-9);
    expect(one!.impact!.time_s).toBeCloseTo(0.3583, 4);
    expect(one!.impact!.headSpeed_m_s).toBeCloseTo(30.3538, 4);
    expect(two!.impact!.time_s).toBeCloseTo(0.2534, 4);
    expect(two!.impact!.headSpeed_m_s).toBeCloseTo(42.9268, 4);
    expect(Math.abs(one!.impact!.time_s / two!.impact!.time_s - Math.SQRT2)).toBeLessThan(1e-9);
    expect(Math.abs(two!.impact!.headSpeed_m_s / one!.impact!.headSpeed_m_s - Math.SQRT2)).toBeLessThan(1e-9);
    expect(Math.abs(two!.impact!.cock_deg - one!.impact!.cock_deg)).toBeLessThan(1e-8);
  });

  it('keeps its energy to 1e-9 with the torques off, and owes the rest to their work with them on', () => {
    const falling = {
      ...JORGENSEN_SWING,
      hub: NO_TORQUE,
      wrist: NO_TORQUE,
      impactShaft_deg: -1000,
      until_s: 2,
    };
    const free = swingDoublePendulum(JORGENSEN_PENDULUM, falling);
    expect(free.end.time_s).toBe(2);
    expect(free.energyScale_J).toBeGreaterThan(5);
    expect(Math.abs(free.energyDrift_J) / free.energyScale_J).toBeLessThan(1e-9);
    const driven = swingDoublePendulum(JORGENSEN_PENDULUM, JORGENSEN_SWING);
    expect(driven.energyScale_J).toBeGreaterThan(100);
    expect(Math.abs(driven.energyDrift_J) / driven.energyScale_J).toBeLessThan(1e-9);
  });

  it('says where the shaft never gets there, and refuses what cannot be', () => {
    const slow = swingDoublePendulum(IRON_PENDULUM, { ...IRON_SWING, until_s: 0.1 });
    expect(slow.impact).toBeNull();
    expect(slow.release).toBeNull();
    expect(slow.end.time_s).toBe(0.1);
    expect(() => swingDoublePendulum({ ...IRON_PENDULUM, armLength_m: 0 }, IRON_SWING)).toThrow(
      /armLength_m/,
    );
    expect(() =>
      swingDoublePendulum(IRON_PENDULUM, { ...IRON_SWING, hub: { ...steadyTorque(1), onset_s: -1 } }),
    ).toThrow(/hub.*negative/);
  });
});
