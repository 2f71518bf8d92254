import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { armSpan, handAtSpan, type TrailArm, trailElbow } from '../../../src/synthetic/mechanics/index.ts';

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

  describe('with a shoulder blade that gives', () => {
    const GIVING: TrailArm = {
      ...ARM,
      give: { share: 0.2, rest_m: 0.5, softness_m: 0.02, most_m: 0.1 },
    };

    it('still closes the loop: give and span of the arm make up the distance', () => {
      const found = trailElbow(0.18, 0.62, GIVING, [-10 * RAD, -125 * RAD, -215 * RAD]);
      if (found.fault !== null) throw new Error(found.fault);
      const { upperArm_m: u, elbowToGrip_m: f } = GIVING;
      const span = Math.sqrt(u * u + f * f + 2 * u * f * Math.cos(found.flexion_rad));
      expect(span + found.give_m).toBeCloseTo(found.distance_m, 12);
      const rigid = trailElbow(0.18, 0.62, ARM, [-10 * RAD, -125 * RAD, -215 * RAD]);
      if (rigid.fault !== null) throw new Error(rigid.fault);
      expect(rigid.give_m).toBe(0);
      expect(rigid.distance_m).toBe(found.distance_m);
    });

    it('spans by hand: softness 0.04 with the arm just straight leaves 0.02 to give', () => {
      // share 0, u + f = 0.66: at a distance of 0.66 the slack is 0 and the arm spans 0.66 - 0.04 / 2.
      const soft: TrailArm = { ...ARM, give: { share: 0, rest_m: 0.5, softness_m: 0.04, most_m: 0.1 } };
      expect(armSpan(soft, 0.66)).toBeCloseTo(0.64, 12);
      // At 0.63 the slack is 0.03 and its root with 0.04 is 0.05: it spans 0.66 - 0.08 / 2.
      expect(armSpan(soft, 0.63)).toBeCloseTo(0.62, 12);
    });

    it('handAtSpan takes armSpan back', () => {
      for (const distance of [0.3, 0.45, 0.6, 0.66, 0.7])
        expect(handAtSpan(GIVING, armSpan(GIVING, distance))).toBeCloseTo(distance, 11);
    });

    it('has the slopes of its differences, and none without bound', () => {
      const angle = fc.double({ min: -Math.PI, max: Math.PI, noNaN: true });
      let checked = 0;
      fc.assert(
        fc.property(fc.tuple(angle, angle, angle), (angles) => {
          const here = trailElbow(0.18, 0.62, GIVING, angles);
          if (here.fault !== null || here.flexion_rad > 2.9) return;
          for (const i of [0, 1, 2] as const) {
            const at = (by: number): number => {
              const moved: [number, number, number] = [...angles];
              moved[i] += by;
              const found = trailElbow(0.18, 0.62, GIVING, moved);
              return found.fault === null ? found.flexion_rad : Number.NaN;
            };
            const slope = (at(1e-6) - at(-1e-6)) / 2e-6;
            if (Number.isNaN(slope)) continue;
            expect(Math.abs(slope - here.slopes[i])).toBeLessThan(1e-6);
            // Four times the lead arm over the shorter lever of the elbow.
            expect(Math.abs(here.slopes[i])).toBeLessThan(8);
          }
          checked++;
        }),
        { numRuns: 300, seed: 4 },
      );
      expect(checked).toBeGreaterThan(50);
    });

    it('gives only so much', () => {
      const far = trailElbow(0.18, 0.62, GIVING, [90 * RAD, 45 * RAD, 45 * RAD]);
      expect(far.fault).toBe('trail-hand-out-of-reach');
      if (far.fault === null) return;
      expect(far.limit_m - armSpan(GIVING, far.limit_m)).toBeCloseTo(0.1, 9);
      expect(far.distance_m).toBeGreaterThan(far.limit_m);
    });
  });
});
