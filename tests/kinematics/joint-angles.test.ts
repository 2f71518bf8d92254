import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  angleSeries,
  type CardanSequence,
  cardanAngles,
  fromAxes,
  fromCardan,
  type IsbElbowPoints,
  inFrame,
  isbElbow,
  type Matrix,
  multiply,
  relativeTurn,
  rigidPose,
  rotate,
  segmentFrame,
  transpose,
  type Vector,
} from '../../src/kinematics/index.ts';

// Sources and tolerances of every worked example: tests/reference/angles.
const folder = new URL('../reference/angles/', import.meta.url);
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
const flat = (m: readonly (readonly number[])[]): number[] => m.flat() as number[];
const subtract = (a: Vector, b: Vector): Vector => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
const middle = (a: Vector, b: Vector): Vector => [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2, (a[2] + b[2]) / 2];

describe('ISB elbow', () => {
  const { inputs, expected } = example('ktk_isb_elbow_frame1');
  const points: IsbElbowPoints = {
    shoulder: inputs.markers.AcromionR,
    lateral_epicondyle: inputs.markers.LateralEpicondyleR,
    medial_epicondyle: inputs.markers.MedialEpicondyleR,
    radial_styloid: inputs.markers.RadialStyloidR,
    ulnar_styloid: inputs.markers.UlnarStyloidR,
  };

  it('has the matrix and the angles of the worked example', () => {
    const elbow = isbElbow(points);
    expectNear(flat(elbow.relative), flat(expected.R_humerus_to_forearm_row_major), 1e-7);
    expectNear([elbow.flexion_deg, elbow.carrying_deg, elbow.pronation_deg], expected.euler_ZXY_deg, 1e-7);
    expect(elbow.nearlyStraight).toBe(true);
    expect(elbow.singular).toBe(false);
  });

  it('of a mirrored arm, mirrored back, is the same', () => {
    const flip = ([x, y, z]: Vector): Vector => [x, y, -z];
    const left = Object.fromEntries(
      Object.entries(points).map(([k, v]) => [k, flip(v)]),
    ) as unknown as IsbElbowPoints;
    const back = Object.fromEntries(
      Object.entries(left).map(([k, v]) => [k, flip(v)]),
    ) as unknown as IsbElbowPoints;
    expect(isbElbow(back).flexion_deg).toBe(isbElbow(points).flexion_deg);
    expect(Math.abs(isbElbow(left).pronation_deg - isbElbow(points).pronation_deg)).toBeGreaterThan(1);
  });
});

describe('the series of a wheelchair push, row by row', () => {
  const csvBytes = readFileSync(new URL('isb_elbow.csv', folder));
  const [head, ...rows] = csvBytes.toString().trim().split(/\r?\n/);
  const names = head!.split(',');
  const column = (name: string): number[] => rows.map((row) => Number(row.split(',')[names.indexOf(name)]));

  it('ISB elbow within 1e-6 deg at every row', () => {
    const result = angleSeries({
      definition: 'isb-elbow',
      csvBytes,
      points: {
        shoulder: 'AcromionR',
        lateral_epicondyle: 'LateralEpicondyleR',
        medial_epicondyle: 'MedialEpicondyleR',
        radial_styloid: 'RadialStyloidR',
        ulnar_styloid: 'UlnarStyloidR',
      },
    });
    if (!result.ok) throw new Error(JSON.stringify(result.problems));
    const { series, warnings } = result.value;
    expect(series).toHaveLength(700);
    expect(series.map((r) => r.row)).toEqual(column('frame'));
    for (const [key, name] of [
      ['flexion_deg', 'isb_flexion_deg'],
      ['carrying_deg', 'isb_carry_deg'],
      ['pronation_deg', 'isb_pronation_deg'],
    ] as const)
      expectNear(
        series.map((r) => (r as unknown as Record<string, number>)[key]!),
        column(name),
        1e-6,
      );
    expect(warnings.join()).toMatch(/within 20 deg of straight/);
  });

  it('three-point elbow within 1e-6 deg at every row, the elbow being the midpoint of the epicondyles', () => {
    const result = angleSeries({
      definition: 'three-point-elbow',
      csvBytes,
      points: {
        shoulder: 'AcromionR',
        elbow: 'LateralEpicondyleR+MedialEpicondyleR',
        wrist: 'UlnarStyloidR',
      },
    });
    if (!result.ok) throw new Error(JSON.stringify(result.problems));
    expectNear(
      result.value.series.map((r) => (r as { angle_deg: number }).angle_deg),
      column('threepoint_flexion_deg'),
      1e-6,
    );
  });

  it.each([
    ['an unknown definition', 'knee', {}, 'definition'],
    ['a missing role', 'three-point-elbow', { shoulder: 'AcromionR', elbow: 'AcromionR' }, 'points wrist'],
    [
      'a point the table lacks',
      'three-point-elbow',
      { shoulder: 'AcromionR', elbow: 'Nowhere', wrist: 'UlnarStyloidR' },
      'points elbow',
    ],
    [
      'a role of another definition',
      'three-point-elbow',
      { shoulder: 'AcromionR', elbow: 'AcromionR', wrist: 'UlnarStyloidR', ulnar_styloid: 'UlnarStyloidR' },
      'points ulnar_styloid',
    ],
  ])('is refused with %s', (_what, definition, points, where) => {
    const result = angleSeries({ definition, csvBytes, points: points as Record<string, string> });
    expect(result.ok).toBe(false);
    if (!result.ok) expect(result.problems.map((p) => p.where)).toContain(where);
  });
});

describe('segment frames', () => {
  it('give the leg of the textbook example', () => {
    const { inputs, expected } = example('winter_p183_leg_frame');
    const ankle = middle(inputs.lm, inputs.mm);
    const knee = middle(inputs.fh, inputs.mc);
    expectNear(ankle, expected.ajc, 5e-4);
    expectNear(knee, expected.kjc, 5e-4);
    const frame = segmentFrame(subtract(knee, ankle), subtract(inputs.mm, inputs.lm));
    expectNear(flat(frame), flat(expected.computed_full_precision_R), 1e-12);
    for (const [point, local] of [
      ['mm', 'mm_local'],
      ['lm', 'lm_local'],
      ['fh', 'fh_local'],
      ['mc', 'mc_local'],
    ] as const)
      expectNear(inFrame(frame, ankle, inputs[point]), expected[local], 5e-5);
    expectNear(inFrame(frame, ankle, knee), expected.kjc_local, 5e-5);
    expectNear(cardanAngles(frame, 'ZXY').angles, expected.computed_ZXY_deg, 1e-9);
  });

  it('turn one segment in another by the angle of the planar example', () => {
    const { inputs, expected } = example('ktk_2d_elbow');
    const relative = relativeTurn(inputs.global_R_upperarm, inputs.global_R_forearm);
    expect(relative[0][0]).toBeCloseTo(expected.relative_00, 6);
    expect(relative[1][0]).toBeCloseTo(expected.relative_10, 6);
    expect(cardanAngles(relative, 'ZXY').angles[0]).toBeCloseTo(expected.flexion_deg, 5);
  });

  it('give the Cardan angles of the three-marker basis', () => {
    const { inputs, expected } = example('bmc_basis_m100');
    const cross = (a: Vector, b: Vector): Vector => [
      a[1] * b[2] - a[2] * b[1],
      a[2] * b[0] - a[0] * b[2],
      a[0] * b[1] - a[1] * b[0],
    ];
    const unit = (v: Vector): Vector => v.map((c) => c / Math.hypot(...v)) as unknown as Vector;
    const v1 = unit(subtract(inputs.m2, inputs.m1));
    const v2 = unit(cross(v1, subtract(inputs.m3, inputs.m1)));
    const v3 = cross(v1, v2);
    expectNear([...v1, ...v2, ...v3], [...expected.v1, ...expected.v2, ...expected.v3], 5e-5);
    expectNear(cardanAngles(fromAxes(v1, v2, v3), 'XYZ').angles, expected.xyz_cardan_of_RlG_deg, 5e-5);
  });
});

describe('rotations', () => {
  const sequences: CardanSequence[] = ['XYZ', 'XZY', 'YXZ', 'YZX', 'ZXY', 'ZYX'];

  it.each(sequences)('%s angles of a rotation built from angles are those angles', (sequence) => {
    const wide = fc.double({ min: -179, max: 179, noNaN: true });
    fc.assert(
      fc.property(wide, fc.double({ min: -85, max: 85, noNaN: true }), wide, (a, b, c) => {
        const { angles, singular } = cardanAngles(fromCardan([a, b, c], sequence), sequence);
        expectNear(angles, [a, b, c], 1e-9);
        expect(singular).toBe(Math.abs(angles[1]) > 80);
      }),
    );
  });

  it('turn a point as in the published example: first about z, then about the fixed x', () => {
    const { inputs, expected } = example('ktk_rotate_zx');
    inputs.angles_deg.forEach(([z, x]: [number, number], i: number) => {
      const turn = multiply(fromCardan([x, 0, 0], 'XYZ'), fromCardan([0, 0, z], 'XYZ'));
      expectNear(rotate(turn, inputs.point), expected.points[i], 1e-8);
    });
  });
});

describe('rigid pose', () => {
  it('finds the quarter turn of the published example', () => {
    const { inputs, expected } = example('bmc_svdt_90z');
    const pose = rigidPose(inputs.A, inputs.B);
    expectNear(flat(pose.rotation), flat(expected.R), 1e-12);
    expectNear(pose.translation, expected.L, 1e-12);
    expect(pose.rms).toBeLessThan(1e-12);
  });

  it('agrees with the singular value solution on a noisy cluster', () => {
    const { inputs, expected } = example('svd_noisy_cluster');
    const pose = rigidPose(inputs.A, inputs.B);
    expectNear(flat(pose.rotation), flat(expected.R), 1e-10);
    expectNear(pose.translation, expected.L, 1e-9);
    expect(pose.rms).toBeCloseTo(expected.RMSE, 10);
    expectNear(cardanAngles(pose.rotation, 'ZXY').angles, expected.ZXY_deg, 1e-9);
  });

  it('never reflects: a planar cluster seen from behind is turned over', () => {
    const { inputs, expected } = example('svd_planar_no_reflection');
    const pose = rigidPose(inputs.A, inputs.B);
    expectNear(flat(pose.rotation), flat(expected.R), 1e-10);
    expect(pose.rms).toBeCloseTo(expected.RMSE, 10);
  });

  it('recovers any planted turn and shift', () => {
    const angle = fc.double({ min: -80, max: 80, noNaN: true });
    const shift = fc.tuple(angle, angle, angle) as fc.Arbitrary<Vector>;
    const cluster: Vector[] = [
      [0, 0, 0],
      [60, 10, 5],
      [15, 80, -10],
      [-20, 35, 40],
    ];
    fc.assert(
      fc.property(shift, shift, (angles, move) => {
        const turn: Matrix = fromCardan(angles, 'ZYX');
        const to = cluster.map((p) => rotate(turn, p).map((v, k) => v + move[k]!) as unknown as Vector);
        const pose = rigidPose(cluster, to);
        expectNear(flat(pose.rotation), flat(turn), 1e-10);
        expectNear(pose.translation, move, 1e-8);
        const product = multiply(pose.rotation, transpose(pose.rotation));
        expectNear(flat(product), [1, 0, 0, 0, 1, 0, 0, 0, 1], 1e-12);
      }),
    );
  });

  it('refuses fewer than three points', () => {
    expect(() => rigidPose([[0, 0, 0]], [[0, 0, 0]])).toThrow(/at least three/);
  });
});
