import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type TrailArm, trailElbow } from '../../../src/synthetic/mechanics/index.ts';

const RAD = Math.PI / 180;
/** Trail shoulder straight across the hub, in the plane; hands together. */
const PLAIN: TrailArm = {
  shoulderRadius_m: 0.2,
  shoulderAngle_rad: Math.PI,
  shoulderOffset_m: 0,
  upperArm_m: 0.3,
  elbowToGrip_m: 0.4,
  handGap_m: 0,
};
const ARM: TrailArm = {
  shoulderRadius_m: 0.18,
  shoulderAngle_rad: 160 * RAD,
  shoulderOffset_m: 0.1,
  upperArm_m: 0.31,
  elbowToGrip_m: 0.35,
  handGap_m: 0.07,
};

describe('trailElbow', () => {
  it('is a right angle where the sides are 3, 4 and 5', () => {
    // Shoulders on a level line 0.4 apart and hands straight below the lead shoulder by 0.3: distance 0.5.
    const found = trailElbow(0.2, 0.3, PLAIN, [90 * RAD, 0, 0]);
    if (found.fault !== null) throw new Error(found.fault);
    expect(found.distance_m).toBeCloseTo(0.5, 14);
    expect(found.flexion_rad / RAD).toBeCloseTo(90, 10);
  });

  it('counts the offset out of the plane into the distance', () => {
    // The same triangle with 0.12 out of the plane: 0.5^2 + 0.12^2, so cos = 0.0144 / 0.24 = 0.06.
    const found = trailElbow(0.2, 0.3, { ...PLAIN, shoulderOffset_m: 0.12 }, [90 * RAD, 0, 0]);
    if (found.fault !== null) throw new Error(found.fault);
    expect(Math.cos(found.flexion_rad)).toBeCloseTo(0.06, 12);
  });

  it('opens as the lead arm leaves the chest', () => {
    const bends = [-150, -140, -130, -120].map((lead) => {
      const found = trailElbow(0.18, 0.62, ARM, [-10 * RAD, lead * RAD, (lead - 90) * RAD]);
      if (found.fault !== null) throw new Error(found.fault);
      return found.flexion_rad / RAD;
    });
    for (let k = 1; k < bends.length; k++) expect(bends[k]!).toBeLessThan(bends[k - 1]! - 1);
  });

  it('has the slopes of its differences', () => {
    const angle = fc.double({ min: -Math.PI, max: Math.PI, noNaN: true });
    let checked = 0;
    fc.assert(
      fc.property(fc.tuple(angle, angle, angle), (angles) => {
        const here = trailElbow(0.18, 0.62, ARM, angles);
        if (here.fault !== null || here.flexion_rad < 0.2 || here.flexion_rad > 2.9) return;
        for (const i of [0, 1, 2] as const) {
          const at = (by: number): number => {
            const moved: [number, number, number] = [...angles];
            moved[i] += by;
            const found = trailElbow(0.18, 0.62, ARM, moved);
            return found.fault === null ? found.flexion_rad : Number.NaN;
          };
          expect(Math.abs((at(1e-6) - at(-1e-6)) / 2e-6 - here.slopes[i])).toBeLessThan(1e-6);
        }
        checked++;
      }),
      { numRuns: 300, seed: 3 },
    );
    expect(checked).toBeGreaterThan(50);
  });

  it('says where the hand cannot be reached or is too near', () => {
    const far = trailElbow(0.2, 0.62, PLAIN, [90 * RAD, 60 * RAD, 60 * RAD]);
    expect(far.fault).toBe('trail-hand-out-of-reach');
    if (far.fault !== null) expect(far.limit_m).toBeCloseTo(0.7, 12);
    const near = trailElbow(0.2, 0.4, PLAIN, [90 * RAD, -90 * RAD, 0]);
    expect(near.fault).toBe('trail-hand-too-near');
    if (near.fault !== null) expect(near.distance_m).toBeCloseTo(0, 12);
  });
});
