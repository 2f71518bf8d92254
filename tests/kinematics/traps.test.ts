import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import {
  compareReadings,
  type Layout,
  type Measurement,
  measureCapture,
  measureTrial,
  type NamedChannels,
} from '../../src/kinematics/index.ts';
import { plantSwing } from './planted-swing.ts';
import { PLAIN_LAYOUT, recordSwing } from './record-swing.ts';

/**
 * Every trap of the specification of metrics and the tests that spring it, by file and title. Those of this file follow
 * below; the table is checked, so that a trap does not lose its test unseen.
 */
const TRAPS: readonly { readonly trap: string; readonly tests: readonly (readonly [string, string])[] }[] = [
  {
    trap: 'flexion given as included angle',
    tests: [
      ['dataset/check-units', 'the included angle of the elbow at impact'],
      ['kinematics/angles', 'is 180 minus the included angle, never the included angle itself'],
      ['kinematics/traps', 'the included angle of the elbow'],
    ],
  },
  {
    trap: 'lag given as included angle',
    tests: [
      ['dataset/check-units', 'the included angle of forearm and shaft'],
      ['kinematics/angles', 'is 0 in line, 90 at a right angle and grows as the shaft stays behind'],
      ['kinematics/traps', 'the included angle of forearm and shaft'],
    ],
  },
  {
    trap: 'right and left swapped',
    tests: [
      ['kinematics/measure-planted', 'is caught when lead and trail are exchanged'],
      ['kinematics/traps', 'is refused when only the %ss are exchanged'],
    ],
  },
  {
    trap: 'left-hander not mirrored',
    tests: [
      [
        'kinematics/measure-planted',
        'is caught when a left-hander is declared to play right, or a right-hander left',
      ],
      ['kinematics/measure-planted', 'mirrored and declared left-handed'],
      ['kinematics/real-swing', 'is refused when mirrored but still declared right-handed'],
    ],
  },
  {
    trap: 'lean in the swing plane read as target plane',
    tests: [
      ['kinematics/traps', 'lean in the swing plane'],
      ['kinematics/measure-planted', 'reads the lean of a plane inclined by %d degrees in the target plane'],
    ],
  },
  {
    trap: 'sign of the attack angle',
    tests: [
      ['kinematics/angles', 'attack angle: down is negative'],
      ['dataset/check-units', 'the sign of the attack angle turned round'],
      ['kinematics/traps', 'an attack angle with down counted as positive'],
    ],
  },
  {
    trap: 'sign of the low point',
    tests: [
      ['dataset/check-units', 'the sign of the low point turned round'],
      ['kinematics/traps', 'a low point with behind counted as positive'],
    ],
  },
  {
    trap: 'inches and centimetres',
    tests: [
      ['dataset/check-units', 'inches in the low point'],
      ['kinematics/traps', 'a low point in inches'],
      ['kinematics/traps', 'in inches called centimetres'],
    ],
  },
  {
    trap: 'miles an hour and metres a second',
    tests: [
      ['dataset/check-units', 'miles an hour in the club speed'],
      ['kinematics/traps', 'a club speed in miles an hour'],
    ],
  },
  {
    trap: 'radians and degrees',
    tests: [
      ['dataset/check-units', 'radians in the elbow bend'],
      ['kinematics/traps', 'an elbow bend in radians'],
    ],
  },
  {
    trap: 'ball speed in the club speed column',
    tests: [
      ['dataset/check-units', 'ball speed in the club speed column'],
      ['kinematics/traps', 'ball speed for club speed'],
    ],
  },
  {
    trap: 'a 2-D angle given as 3-D',
    tests: [
      ['kinematics/traps', 'an elbow bend drawn on a picture'],
      ['kinematics/traps', 'a lag angle drawn on a picture'],
      ['dataset/check-units', 'a 2-D lag angle at impact'],
    ],
  },
  {
    trap: 'frame count off by one',
    tests: [
      ['kinematics/c3d-written', 'reads the frames that are there when the header counts one too many'],
      ['kinematics/real-swing', 'says what is wrong with the file: its header, and a club that shrinks'],
      ['kinematics/traps', 'a downswing counted with a frame too many'],
    ],
  },
  {
    trap: 'first frame not 1',
    tests: [
      ['kinematics/traps', 'whose first frame has another number gives the same metrics'],
      ['kinematics/csv-capture', 'gives the same metrics in metres and in millimetres, from any first frame'],
    ],
  },
  {
    trap: 'sampling rate missing',
    tests: [
      ['kinematics/layout', 'of a capture without a rate ask for it in the layout'],
      ['kinematics/csv-capture', 'asks for a rate where the table tells none'],
      ['kinematics/traps', 'without a sampling rate is refused, never guessed'],
    ],
  },
];

describe('every trap has its tests', () => {
  it.each(TRAPS)('$trap', ({ tests }) => {
    for (const [file, title] of tests) {
      const path = new URL(`../${file}.test.ts`, import.meta.url);
      expect(existsSync(path), file).toBe(true);
      // What follows the table, where the file is this one.
      const body = readFileSync(path, 'utf8').split('every trap has its tests').at(-1)!;
      expect(body.includes(title), `${file}: ${title}`).toBe(true);
    }
  });
});

const swing = plantSwing();

function measured(named: NamedChannels, layout: Layout = PLAIN_LAYOUT, firstFrame = 1): Measurement {
  const result = measureTrial(named, layout, firstFrame);
  if (!result.ok) throw new Error(JSON.stringify(result.problems));
  return result.value;
}

function refused(named: NamedChannels, layout: Layout = PLAIN_LAYOUT) {
  const result = measureTrial(named, layout, 1);
  return result.ok ? [] : result.problems;
}

describe('a number of another source beside the capture of the same swing', () => {
  const { named } = recordSwing(swing, { rateHz: 240, noise_m: 0.00004 });
  const value = measured(named, { ...PLAIN_LAYOUT, markerNoise_mm: 0.04 });
  const of = (column: string): number => value.swing[column]!;
  const DEG = 180 / Math.PI;

  it('agrees when it is the same to three standard deviations', () => {
    const same = Object.fromEntries(
      Object.entries(value.swing).flatMap(([column, number]) =>
        column.endsWith('_sd') || number === null
          ? []
          : [[column, number + 2.9 * value.swing[`${column}_sd`]!]],
      ),
    );
    expect(Object.keys(same).length).toBeGreaterThan(20);
    expect(compareReadings(value, same)).toEqual([]);
  });

  // The plane of the planted swing is tilted 60 deg: tan(target) = tan(plane) / sin(60).
  const planeLean = Math.atan(Math.tan(of('shaft_lean_impact_deg') / DEG) * Math.sin(60 / DEG)) * DEG;
  /** A 2-D angle by the points' x and y alone, in complex numbers so to speak, from the formulas of the swing. */
  const drawn = (a: string, b: string, c: string, d: string, t: number): number => {
    const [p, q, r, s] = [a, b, c, d].map((name) => swing.position(name, t));
    const [u, v] = [Math.atan2(q![1] - p![1], q![0] - p![0]), Math.atan2(s![1] - r![1], s![0] - r![0])];
    return Math.abs(Math.atan2(Math.sin(v - u), Math.cos(v - u))) * DEG;
  };
  const top = value.instants.top!;

  it.each([
    [
      'the included angle of the elbow',
      'trail_elbow_flexion_top_deg',
      180 - of('trail_elbow_flexion_top_deg'),
      /included angle/,
    ],
    [
      'the included angle of forearm and shaft',
      'lag_impact_deg',
      180 - of('lag_impact_deg'),
      /included angle/,
    ],
    [
      'lean in the swing plane',
      'shaft_lean_impact_deg',
      planeLean,
      /lean in the swing plane\. .*sin\(inclination/,
    ],
    [
      'an attack angle with down counted as positive',
      'attack_angle_deg',
      -of('attack_angle_deg'),
      /opposite sign/,
    ],
    ['a low point with behind counted as positive', 'low_point_cm', -of('low_point_cm'), /opposite sign/],
    ['a low point in inches', 'low_point_cm', of('low_point_cm') / 2.54, /inches\. Multiply it by 2\.54/],
    [
      'a club speed in miles an hour',
      'club_speed_mps',
      of('club_speed_mps') / 0.44704,
      /miles an hour\. .*0\.44704/,
    ],
    [
      'an elbow bend in radians',
      'trail_elbow_flexion_impact_deg',
      of('trail_elbow_flexion_impact_deg') / DEG,
      /radians/,
    ],
    // Rigid impulse model, check value: dynamic loft 26 deg and attack -4 deg give 1.328 times the club speed.
    [
      'ball speed for club speed',
      'club_speed_mps',
      1.328 * of('club_speed_mps'),
      /ball speed has its own column/,
    ],
    [
      'an elbow bend drawn on a picture',
      'trail_elbow_flexion_top_deg',
      drawn('trail_shoulder', 'trail_elbow', 'trail_elbow', 'trail_wrist', top),
      /2-D angle.* angle in space/,
    ],
    [
      'a lag angle drawn on a picture',
      'lag_delivery_deg',
      drawn('lead_elbow', 'lead_wrist', 'grip', 'club_head', value.instants.delivery!),
      /2-D angle.* angle in space/,
    ],
    [
      'a downswing counted with a frame too many',
      'downswing_ms',
      of('downswing_ms') + 1000 / 240,
      /one frame off/,
    ],
    ['a downswing in seconds', 'downswing_ms', of('downswing_ms') / 1000, /seconds/],
  ] as const)('%s is told from the capture', (_what, column, given, words) => {
    const problems = compareReadings(value, { [column]: given });
    expect(problems).toHaveLength(1);
    expect(problems[0]!.where).toBe(column);
    expect(problems[0]!.remedy).toMatch(words);
  });

  it('of no known misreading is not explained away', () => {
    const [problem] = compareReadings(value, {
      trail_elbow_flexion_top_deg: of('trail_elbow_flexion_top_deg') + 31,
    });
    expect(problem!.remedy).toMatch(/No other unit, sign or definition/);
  });

  it('is passed over where the capture gives nothing, and refused by a name that is no metric', () => {
    expect(compareReadings(value, { ball_speed_mps: 50, strike_rating: 4 })).toEqual([]);
    expect(() => compareReadings(value, { lean: 3 })).toThrow(/there is no metric 'lean'/);
  });
});

describe('a layout that exchanges the sides of an arm', () => {
  it.each(['elbow', 'wrist'] as const)('is refused when only the %ss are exchanged', (part) => {
    const { named } = recordSwing(swing, { rateHz: 240 });
    const tracks = new Map(named.trial.tracks);
    const [lead, trail] = [tracks.get(`lead_${part}`)!, tracks.get(`trail_${part}`)!];
    tracks.set(`lead_${part}`, trail);
    tracks.set(`trail_${part}`, lead);
    const problems = refused({ ...named, trial: { ...named.trial, tracks } });
    expect(problems.map(({ where }) => where)).toEqual([`layout /landmarks/lead_${part}`]);
    expect(problems[0]!.remedy).toMatch(/Exchange/);
  });
});

describe('a capture', () => {
  it.each([
    ['in inches called centimetres', 1 / 2.54, 'cm', 'in'],
    ['in millimetres called metres', 1000, 'm', 'mm'],
    ['in metres called centimetres', 0.01, 'cm', 'm'],
  ] as const)('%s is refused, with the unit that fits', (_what, factor, lengthUnit, better) => {
    const scaled = recordSwing(swing, {
      rateHz: 240,
      place: ([x, y, z]) => [x * factor, y * factor, z * factor],
    });
    const problems = refused(scaled.named, { ...PLAIN_LAYOUT, lengthUnit });
    expect(problems.map(({ where }) => where)).toEqual(['layout /lengthUnit']);
    expect(problems[0]!.expected).toContain(better);
  });

  it('whose first frame has another number gives the same metrics, and counts its frames as the file does', () => {
    const { named } = recordSwing(swing, { rateHz: 240, noise_m: 0.001 });
    const [one, later] = [measured(named), measured(named, PLAIN_LAYOUT, 4712)];
    expect(later.swing).toEqual(one.swing);
    expect(later.instants).toEqual(one.instants);
    for (const name of ['top', 'impact'] as const)
      expect(later.instantDetails[name]!.frame - one.instantDetails[name]!.frame).toBeCloseTo(4711, 9);
  });

  it('without a sampling rate is refused, never guessed', () => {
    const text = 'frame,G_x,G_y,G_z\n1,0.1,1,0\n2,0.11,1,0\n3,0.12,1,0\n';
    const layout = { ...PLAIN_LAYOUT, landmarks: { grip: 'G' } };
    const result = measureCapture({
      c3dBytes: new TextEncoder().encode(text),
      fileName: 'swing.csv',
      layout,
    });
    expect(result.ok).toBe(false);
    if (!result.ok) expect(result.problems.map(({ where }) => where)).toContain('layout /rateHz');
  });
});
