import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  angleBetween,
  axisOf,
  cardanAngles,
  forearmFrame,
  fromCardan,
  humerusFrame,
  humerusFrameFromForearm,
  isbElbow,
  jointCoordinateSystem,
  lineTurn,
  type Matrix,
  multiply,
  type PelvisPoints,
  pelvisFrame,
  relativeTurn,
  shoulderFromAcromion,
  squareAxes,
  type ThoraxPoints,
  TURN_SEQUENCES,
  type TurnSequence,
  thoraxFrame,
  threePointFrame,
  turnAngles,
  type Vector,
} from '../../src/kinematics/index.ts';

interface Reference {
  readonly frames: readonly {
    readonly axes: Matrix;
    readonly markers: {
      readonly thorax: ThoraxPoints;
      readonly pelvis: PelvisPoints;
      readonly humerus: Record<'shoulder' | 'lateral' | 'medial', Vector>;
      readonly forearm: Record<'elbow' | 'radial' | 'ulnar', Vector>;
      readonly humerus2: Record<'shoulder' | 'elbow' | 'ulnar', Vector>;
    };
  }[];
  readonly sequences: readonly {
    readonly matrix: Matrix;
    readonly angles_deg: Readonly<Record<TurnSequence, Vector>>;
  }[];
  readonly turns: readonly {
    readonly turn_deg: number;
    readonly thorax: ThoraxPoints;
    readonly pelvis: PelvisPoints;
  }[];
}
const folder = new URL('../reference/angles/', import.meta.url);
// Made by frames.py beside it: markers turned by a known rotation; sequences by scipy.
const reference = JSON.parse(readFileSync(new URL('frames.json', folder), 'utf8')) as Reference;
const examples = JSON.parse(readFileSync(new URL('worked-examples.json', folder), 'utf8'));
// biome-ignore lint/suspicious/noExplicitAny: each worked example has a shape of its own
const example = (id: string): { inputs: any; expected: any } =>
  examples.find((e: { id: string }) => e.id === id);

function expectNear(actual: readonly number[], expected: readonly number[], tolerance: number): void {
  expect(actual).toHaveLength(expected.length);
  actual.forEach((value, i) => {
    expect(Math.abs(value - expected[i]!)).toBeLessThan(tolerance);
  });
}
const flat = (m: Matrix): number[] => m.flat();

describe('the ISB frames of markers whose turn is known', () => {
  it.each(reference.frames.map((frame, i) => [i + 1, frame] as const))('set %d', (_n, { axes, markers }) => {
    const { thorax, pelvis, humerus, forearm, humerus2 } = markers;
    const made = {
      thorax: thoraxFrame(thorax),
      pelvis: pelvisFrame(pelvis),
      humerus: humerusFrame(humerus.shoulder, humerus.lateral, humerus.medial),
      forearm: forearmFrame(forearm.elbow, forearm.radial, forearm.ulnar),
      humerus2: humerusFrameFromForearm(humerus2.shoulder, humerus2.elbow, humerus2.ulnar).axes,
    };
    for (const frame of Object.values(made)) expectNear(flat(frame), flat(axes), 1e-12);
  });

  it('turn about the vertical by the first angle of Y-X-Z, whatever the tilts', () => {
    for (const { turn_deg, thorax, pelvis } of reference.turns)
      for (const frame of [thoraxFrame(thorax), pelvisFrame(pelvis)])
        expect(lineTurn(axisOf(frame, 2), [0, 0, 0])).toBeCloseTo(turn_deg, 9);
  });

  it('humerus from the forearm says when the arm is too straight for it', () => {
    const at = (bend_deg: number) => {
      const a = (bend_deg * Math.PI) / 180;
      return humerusFrameFromForearm([0, 0.3, 0], [0, 0, 0], [0.27 * Math.sin(a), -0.27 * Math.cos(a), 0]);
    };
    expect(at(19.9).nearlyStraight).toBe(true);
    expect(at(20.1).nearlyStraight).toBe(false);
    expectNear(flat(at(5).axes), [1, 0, 0, 0, 1, 0, 0, 0, 1], 1e-12);
  });

  it('near straight the second option is thrown about by a millimetre, the first is not', () => {
    const wrist = (side_mm: number): Vector => [
      0.27 * Math.sin(0.02),
      -0.27 * Math.cos(0.02),
      side_mm / 1000,
    ];
    const second = (side_mm: number) => humerusFrameFromForearm([0, 0.3, 0], [0, 0, 0], wrist(side_mm)).axes;
    expect(angleBetween(axisOf(second(0), 2), axisOf(second(1), 2))).toBeGreaterThan(10);
  });
});

describe('the centre of the shoulder below the acromion', () => {
  it('lies 17 % of the breadth of the acromions down the axis of the thorax (Rab et al. 2002)', () => {
    const unit: Matrix = [
      [1, 0, 0],
      [0, 1, 0],
      [0, 0, 1],
    ];
    expectNear(shoulderFromAcromion([0, 1.4, 0.2], [0, 1.4, -0.2], unit), [0, 1.4 - 0.17 * 0.4, 0.2], 1e-15);
    const turn = fromCardan([20, -35, 50], 'ZXY');
    const [y, across] = [axisOf(turn, 1), axisOf(turn, 2)];
    const side = (s: number): Vector => [s * across[0], s * across[1], s * across[2]];
    expectNear(
      shoulderFromAcromion(side(0.2), side(-0.2), turn),
      side(0.2).map((v, k) => v - 0.068 * y[k]!),
      1e-15,
    );
  });
});

describe('turns in the twelve sequences', () => {
  it.each(TURN_SEQUENCES)('%s: the angles that general-purpose software gives', (sequence) => {
    for (const { matrix, angles_deg } of reference.sequences)
      expectNear(turnAngles(matrix, sequence).angles, angles_deg[sequence], 1e-9);
  });

  it.each(TURN_SEQUENCES)('%s: from angles to matrix and back', (sequence) => {
    const wide = fc.double({ min: -179, max: 179, noNaN: true });
    const again = sequence[0] === sequence[2];
    const middle = fc.double({ min: again ? 1 : -89, max: again ? 179 : 89, noNaN: true });
    fc.assert(
      fc.property(wide, middle, wide, (a, b, c) => {
        const { angles, singular, warning } = turnAngles(fromCardan([a, b, c], sequence), sequence);
        expectNear(angles, [a, b, c], 1e-8);
        const near = again ? Math.min(b, 180 - b) : 90 - Math.abs(b);
        fc.pre(Math.abs(near - 10) > 1e-6);
        expect(singular).toBe(near < 10);
        expect(warning === null).toBe(!singular);
        if (warning) expect(warning).toContain(sequence);
      }),
    );
  });

  it('keep their digits where the middle turn is 90 degrees', () => {
    const middle = 90 - 1e-6;
    expect(cardanAngles(fromCardan([12, middle, -7], 'ZXY'), 'ZXY').angles[1]).toBeCloseTo(middle, 10);
  });
});

describe('the joint coordinate system of Grood and Suntay', () => {
  const wide = fc.double({ min: -179, max: 179, noNaN: true });
  const tame = fc.double({ min: -85, max: 85, noNaN: true });

  it.each(['XYZ', 'XZY', 'YXZ', 'YZX', 'ZXY', 'ZYX'] as const)(
    '%s: read from the axes, it gives the Cardan angles of the matrix',
    (sequence) => {
      fc.assert(
        fc.property(wide, tame, wide, wide, tame, wide, (a, b, c, p, q, r) => {
          const proximal = fromCardan([p, q, r], 'ZYX');
          const distal = multiply(proximal, fromCardan([a, b, c], sequence));
          const joint = jointCoordinateSystem(proximal, distal, sequence);
          expectNear(joint.angles, cardanAngles(relativeTurn(proximal, distal), sequence).angles, 1e-8);
          // The floating axis is square to the other two and of length one.
          for (const axis of [joint.proximalAxis, joint.distalAxis])
            expect(angleBetween(axis, joint.floatingAxis)).toBeCloseTo(90, 8);
          expect(Math.hypot(...joint.floatingAxis)).toBeCloseTo(1, 12);
          expect(joint.singular).toBe(90 - Math.abs(joint.angles[1]) < 10);
        }),
      );
    },
  );

  it('gives the ISB elbow of the published worked example (Kinetics Toolkit documentation, frame 1)', () => {
    const { inputs, expected } = example('ktk_isb_elbow_frame1');
    const elbow = isbElbow({
      shoulder: inputs.markers.AcromionR,
      lateral_epicondyle: inputs.markers.LateralEpicondyleR,
      medial_epicondyle: inputs.markers.MedialEpicondyleR,
      radial_styloid: inputs.markers.RadialStyloidR,
      ulnar_styloid: inputs.markers.UlnarStyloidR,
    });
    expectNear(
      jointCoordinateSystem(elbow.humerus, elbow.forearm, 'ZXY').angles,
      expected.euler_ZXY_deg,
      1e-7,
    );
  });
});

describe('frames of three points and planar angles in worked examples', () => {
  it('bmc_refframe: basis, origin and Gram-Schmidt', () => {
    const { inputs, expected } = example('bmc_refframe');
    const { axes, origin } = threePointFrame(inputs.m1, inputs.m2, inputs.m3);
    expectNear(axisOf(axes, 0), expected.e1, 1e-8);
    expectNear(axisOf(axes, 1), expected.e2, 1e-8);
    expectNear(axisOf(axes, 2), expected.e3, 1e-8);
    expectNear(origin, expected.origin, 1e-8);
    const square = squareAxes(inputs.m1, inputs.m2, inputs.m3);
    expectNear(axisOf(square, 0), expected.gram_schmidt.ea, 1e-8);
    expectNear(axisOf(square, 1), expected.gram_schmidt.eb, 1e-8);
    expectNear(axisOf(square, 2), expected.gram_schmidt.ec, 1e-8);
  });

  it('bmc_joint_angle_2d: the angle between two planar segments', () => {
    const { inputs, expected } = example('bmc_joint_angle_2d');
    const along = ([x1, y1]: [number, number], [x2, y2]: [number, number]): Vector => [x1 - x2, y1 - y2, 0];
    const angle = angleBetween(along(inputs.p1, inputs.p2), along(inputs.p4, inputs.p3));
    expect(Math.abs(angle - expected.angle_deg)).toBeLessThan(1e-12);
  });

  it('every worked example is asked for by a test', () => {
    const tests = ['isb-frames', 'joint-angles', 'angles']
      .map((name) => readFileSync(new URL(`${name}.test.ts`, import.meta.url), 'utf8'))
      .join('\n');
    for (const { id } of examples as { id: string }[]) expect(tests).toContain(`example('${id}')`);
  });
});
