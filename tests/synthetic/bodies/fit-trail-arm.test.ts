import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fitTrailArm } from '../../../src/synthetic/bodies/index.ts';
import { type PlaneAngles, SKILLED_BODY, trailElbow } from '../../../src/synthetic/mechanics/index.ts';

const RAD = Math.PI / 180;
const angles = (trunk: number, lead: number, club: number): PlaneAngles => [
  trunk * RAD,
  lead * RAD,
  club * RAD,
];

describe('fitTrailArm', () => {
  it('gives the elbow the bend asked for, with the lengths left as they are', () => {
    const near = (value: number, by: number) => fc.double({ min: value - by, max: value + by, noNaN: true });
    let fitted = 0;
    fc.assert(
      fc.property(near(-8, 6), near(-122, 6), near(90, 8), near(88, 12), (trunk, lead, lag, bend) => {
        const posture = angles(trunk, lead, lead - lag);
        const arm = fitTrailArm(SKILLED_BODY, posture, bend);
        if (arm === null) return;
        fitted++;
        expect(arm.upperArm_m).toBe(SKILLED_BODY.trailArm.upperArm_m);
        expect(arm.elbowToGrip_m).toBe(SKILLED_BODY.trailArm.elbowToGrip_m);
        expect(arm.shoulderAngle_rad).toBeGreaterThan(Math.PI / 2);
        expect(arm.shoulderAngle_rad).toBeLessThan((3 * Math.PI) / 2);
        const found = trailElbow(SKILLED_BODY.trunk.length_m, SKILLED_BODY.leadArm.length_m, arm, posture);
        if (found.fault !== null) throw new Error(found.fault);
        expect(found.flexion_rad / RAD).toBeCloseTo(bend, 8);
      }),
      { numRuns: 200, seed: 5 },
    );
    expect(fitted).toBeGreaterThan(150);
  });

  it('leaves the shoulder where it is when the bend is already that', () => {
    const posture = angles(-8, -122, -212);
    const { trunk, leadArm, trailArm } = SKILLED_BODY;
    const found = trailElbow(trunk.length_m, leadArm.length_m, trailArm, posture);
    if (found.fault !== null) throw new Error(found.fault);
    const arm = fitTrailArm(SKILLED_BODY, posture, found.flexion_rad / RAD)!;
    expect(arm.shoulderRadius_m).toBeCloseTo(trailArm.shoulderRadius_m, 10);
    expect(arm.shoulderAngle_rad).toBeCloseTo(trailArm.shoulderAngle_rad, 10);
  });

  it('says nothing where no shoulder could be', () => {
    expect(fitTrailArm(SKILLED_BODY, angles(-8, -122, -212), 170)).toBeNull();
  });
});
