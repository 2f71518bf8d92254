import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  attackAngle,
  flexionRate,
  lagAngle,
  leanInTargetPlane,
  lineTurn,
  shaftLean,
  threePointFlexion,
  type Vector,
} from '../../src/kinematics/index.ts';

const examples = JSON.parse(
  readFileSync(new URL('../reference/angles/worked-examples.json', import.meta.url), 'utf8'),
) as { id: string; inputs: Record<string, never>; expected: Record<string, never> }[];
const example = (id: string) => examples.find((e) => e.id === id)!;

const number = fc.double({ min: -2, max: 2, noNaN: true });
const vector = fc.tuple(number, number, number) as fc.Arbitrary<Vector>;

describe('three-point flexion', () => {
  it('gives the elbow of the published worked example', () => {
    // Kinetics Toolkit documentation, ISB elbow, frame 1; recomputed independently (tests/reference/angles).
    const { inputs, expected } = example('ktk_isb_elbow_frame1') as unknown as {
      inputs: { markers: Record<string, Vector> };
      expected: { three_point_flexion_frame1: number };
    };
    const m = inputs.markers;
    const middle = (a: Vector, b: Vector): Vector => [
      (a[0] + b[0]) / 2,
      (a[1] + b[1]) / 2,
      (a[2] + b[2]) / 2,
    ];
    const flexion = threePointFlexion(
      m.AcromionR!,
      middle(m.LateralEpicondyleR!, m.MedialEpicondyleR!),
      m.UlnarStyloidR!,
    );
    expect(Math.abs(flexion - expected.three_point_flexion_frame1)).toBeLessThan(1e-6);
  });

  it('is 180 minus the included angle, never the included angle itself', () => {
    expect(threePointFlexion([0, 2, 0], [0, 1, 0], [0, 0, 0])).toBe(0);
    expect(threePointFlexion([0, 1, 0], [0, 0, 0], [1, 0, 0])).toBe(90);
    expect(threePointFlexion([1, 0, 0], [0, 0, 0], [1, 0, 0])).toBe(180);
  });

  it('keeps its digits near a straight arm', () => {
    const bend = 1e-7;
    expect(threePointFlexion([0, 1, 0], [0, 0, 0], [Math.sin(bend), -Math.cos(bend), 0])).toBeCloseTo(
      (bend * 180) / Math.PI,
      13,
    );
  });

  it('has the rate that small steps of the points give', () => {
    fc.assert(
      fc.property(fc.tuple(vector, vector, vector), fc.tuple(vector, vector, vector), (p, v) => {
        const at = (t: number) => {
          const q = p.map((c, i) => c.map((x, k) => x + t * v[i]![k]!)) as unknown as [
            Vector,
            Vector,
            Vector,
          ];
          return threePointFlexion(...q);
        };
        fc.pre(at(0) > 5 && at(0) < 175);
        const long = (i: number, j: number) =>
          Math.hypot(...[0, 1, 2].map((k) => p[i]![k]! - p[j]![k]!)) > 0.2;
        fc.pre(long(0, 1) && long(1, 2));
        const h = 1e-5;
        expect(flexionRate(p, v)).toBeCloseTo((at(h) - at(-h)) / (2 * h), 3);
      }),
    );
  });
});

describe('lag angle', () => {
  it('is 0 in line, 90 at a right angle and grows as the shaft stays behind', () => {
    expect(lagAngle([0, 1, 0], [0, 0.7, 0], [0, 0.65, 0], [0, -0.2, 0])).toBe(0);
    expect(lagAngle([0, 1, 0], [0, 0.7, 0], [0, 0.65, 0], [-0.85, 0.65, 0])).toBe(90);
    expect(lagAngle([0, 1, 0], [0, 0.7, 0], [0, 0.65, 0], [-0.6, 1.25, 0])).toBeCloseTo(135, 10);
  });

  it('is the same from whichever side it is seen', () => {
    fc.assert(
      fc.property(vector, vector, vector, vector, (a, b, c, d) => {
        const flip = ([x, y, z]: Vector): Vector => [x, y, -z];
        expect(lagAngle(flip(a), flip(b), flip(c), flip(d))).toBeCloseTo(lagAngle(a, b, c, d), 10);
      }),
    );
  });
});

describe('shaft lean', () => {
  it('is positive when the grip is ahead of the head', () => {
    expect(shaftLean([0.1, 0.8, -0.4], [0, 0, 0])).toBeGreaterThan(0);
    expect(shaftLean([-0.1, 0.8, -0.4], [0, 0, 0])).toBeLessThan(0);
  });

  it('does not change with the distance across the target line', () => {
    expect(shaftLean([0.1, 0.8, -0.4], [0, 0, 0])).toBe(shaftLean([0.1, 0.8, 3], [0, 0, -2]));
  });

  it('follows from lean in the swing plane: 7 deg at 60 deg is 8.070, at 62 deg 7.917 (check values, literature.json)', () => {
    expect(leanInTargetPlane(7, 60)).toBeCloseTo(8.07, 3);
    expect(leanInTargetPlane(7, 62)).toBeCloseTo(7.917, 3);
  });

  it('of a shaft leant in an inclined plane is the lean that relation gives', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -40, max: 40, noNaN: true }),
        fc.double({ min: 30, max: 85, noNaN: true }),
        (lean, inclination) => {
          const [s, e] = [(lean * Math.PI) / 180, (inclination * Math.PI) / 180];
          const grip: Vector = [Math.sin(s), Math.cos(s) * Math.sin(e), -Math.cos(s) * Math.cos(e)];
          expect(shaftLean(grip, [0, 0, 0])).toBeCloseTo(leanInTargetPlane(lean, inclination), 9);
        },
      ),
    );
  });
});

describe('signs', () => {
  it('attack angle: down is negative', () => {
    expect(attackAngle([40, -2.8, 0])).toBeCloseTo((Math.atan(-0.07) * 180) / Math.PI, 12);
    expect(attackAngle([0, 3, 4])).toBeCloseTo((Math.atan(0.75) * 180) / Math.PI, 12);
  });

  it('turn: open to the target is positive', () => {
    expect(lineTurn([0, 1, 0], [0.3, 1, 0])).toBeCloseTo(0, 12);
    expect(lineTurn([0, 1, 0], [0.3, 1, -0.3])).toBeCloseTo(45, 12);
    expect(lineTurn([0, 1, 0], [0, 1, 0.3])).toBeCloseTo(-90, 12);
  });
});
