import { describe, expect, it } from 'vitest';
import {
  type Capture,
  INSTANT_NAMES,
  type Layout,
  type Measurement,
  type MeasureOptions,
  measureTrial,
  type NamedChannels,
  nameChannels,
} from '../../src/kinematics/index.ts';
import {
  bisect,
  type Planted,
  type Point,
  plantedHipTurn,
  plantedMetrics,
  plantedMoments,
  plantSwing,
} from './planted-swing.ts';
import { PLAIN_LAYOUT, type Recording, recordSwing } from './record-swing.ts';

function measured(named: NamedChannels, layout: Layout = PLAIN_LAYOUT): Measurement {
  const result = measureTrial(named, layout, 1);
  if (!result.ok) throw new Error(JSON.stringify(result.problems));
  return result.value;
}

const measure = (recording: Recording, layout = PLAIN_LAYOUT, planted: Planted = {}): Measurement =>
  measured(recordSwing(plantSwing(planted), recording).named, layout);

/** How far the method may be off without any noise, from the filter and the polynomials, at 240 Hz. */
const METHOD_ERROR: Readonly<Record<string, number>> = {
  elbow_extension_onset_ms: 0.5,
  elbow_extension_speed_peak_dps: 8,
  release_onset_ms: 0.2,
  downswing_ms: 0.5,
  club_speed_mps: 0.1,
  hand_speed_peak_mps: 0.02,
  low_point_cm: 0.2,
};

describe('a planted swing without noise', () => {
  const swing = plantSwing();
  const value = measure({ rateHz: 240 });

  it.each(Object.entries(plantedMetrics(swing)))('gives %s', (column, truth) => {
    expect(Math.abs(value.swing[column]! - truth)).toBeLessThan(METHOD_ERROR[column] ?? 0.1);
    expect(value.swing[`${column}_sd`]).toBeGreaterThanOrEqual(0);
  });

  it('has its instants in order and where they were planted', () => {
    const times = INSTANT_NAMES.map((name) => value.instants[name]!);
    for (let i = 1; i < times.length; i++) expect(times[i]!).toBeGreaterThan(times[i - 1]!);
    for (const name of ['top', 'lead arm parallel', 'delivery'] as const)
      expect(Math.abs(value.instants[name]! - plantedMoments[name])).toBeLessThan(0.0005);
    expect(value.instants.impact).toBe(0);
  });

  it('states for every instant at least half a frame of uncertainty', () => {
    for (const name of INSTANT_NAMES)
      expect(value.instantDetails[name]!.uncertainty_s).toBeGreaterThanOrEqual(0.5 / 240);
  });

  it('has nothing to warn of', () => expect(value.warnings).toEqual([]));

  it.each([45, 60, 75])(
    'reads the lean of a plane inclined by %d degrees in the target plane',
    (inclination) => {
      const tilted = measure({ rateHz: 240 }, PLAIN_LAYOUT, { inclination });
      expect(tilted.swing.shaft_lean_impact_deg).toBeCloseTo(
        plantedMetrics(plantSwing({ inclination }), inclination).shaft_lean_impact_deg!,
        1,
      );
    },
  );
});

describe('other definitions of an instant', () => {
  const swing = plantSwing();
  const { named } = recordSwing(swing, { rateHz: 240 });
  const withChoice = (instants: MeasureOptions['instants']): Measurement => {
    const result = measureTrial(named, PLAIN_LAYOUT, 1, { instants: instants! });
    if (!result.ok) throw new Error(JSON.stringify(result.problems));
    return result.value;
  };
  const slope = (f: (t: number) => number) => (t: number) => f(t + 1e-5) - f(t - 1e-5);
  const height = (t: number): number => swing.position('grip', t)[1];

  it.each([
    ['lead arm reversal', bisect(slope(height), -0.6, -0.25), 0.006],
    ['pelvis reversal', bisect(slope(plantedHipTurn), -0.6, -0.2), 0.003],
  ] as const)('top by %s', (top, truth, within) => {
    const value = withChoice({ top });
    expect(Math.abs(value.instants.top! - truth)).toBeLessThan(within);
    expect(value.processing.definitions.top).toBe(top);
  });

  it('delivery with the hands at hip height', () => {
    const truth = bisect((t) => height(t) - 0.95, -0.15, -0.02);
    const value = withChoice({ delivery: 'hands at hip height' });
    expect(Math.abs(value.instants.delivery! - truth)).toBeLessThan(0.0005);
  });

  it('differ from the default, and so does what is read at them', () => {
    const [usual, arm] = [withChoice({}), withChoice({ top: 'lead arm reversal' })];
    expect(arm.instants.top).not.toBe(usual.instants.top);
    expect(arm.swing.lag_top_deg).not.toBe(usual.swing.lag_top_deg);
  });
});

describe('impact between frames', () => {
  it('moves by less than 0.2 ms when the rate is doubled, wherever the frames fall', () => {
    for (const phase of [0, 0.2, 0.4, 0.6, 0.8]) {
      const at = [120, 240, 480].map((rateHz) => {
        const { named, start_s } = recordSwing(plantSwing(), { rateHz, phase });
        return start_s + (measured(named).instantDetails.impact!.frame - 1) / rateHz;
      });
      for (const time of at) expect(Math.abs(time)).toBeLessThan(0.0002);
    }
  });

  it('does not feel what contact does to the head afterwards', () => {
    for (const phase of [0.05, 0.5, 0.95]) {
      const free = measure({ rateHz: 240, phase });
      const struck = measure({ rateHz: 240, phase }, PLAIN_LAYOUT, { contactLoss: 0.25 });
      for (const column of ['shaft_lean_impact_deg', 'club_speed_mps', 'attack_angle_deg', 'lag_impact_deg'])
        expect(struck.swing[column]).toBeCloseTo(free.swing[column]!, 6);
    }
  });
});

function expectSame(a: Measurement, b: Measurement): void {
  for (const [column, value] of Object.entries(a.swing)) {
    if (value === null) expect(b.swing[column]).toBeNull();
    else expect(Math.abs(b.swing[column]! - value)).toBeLessThan(1e-9 * Math.max(1, Math.abs(value)));
  }
  for (const name of INSTANT_NAMES)
    expect(Math.abs(b.instants[name]! - a.instants[name]!)).toBeLessThan(1e-9);
}

describe('the same motion in other clothes gives the same numbers', () => {
  const recording: Recording = { rateHz: 240, noise_m: 0.001, seed: 7 };
  const plain = measure(recording);

  it('in a lab turned and moved, with another axis up and the target line from two channels', () => {
    const turn = 0.7;
    // Up becomes -X of the file, the rest turns about it; the origin moves.
    const place = ([x, y, z]: Point): Point => [
      3 - y,
      x * Math.cos(turn) - z * Math.sin(turn) - 2,
      x * Math.sin(turn) + z * Math.cos(turn) + 5,
    ];
    const { named } = recordSwing(plantSwing(), { ...recording, place });
    const fixed = (p: Point) => {
      const [x, y, z] = place(p);
      const of = (v: number) => new Float64Array(named.trial.frames).fill(v);
      return { x: of(x), y: of(y), z: of(z) };
    };
    const layout: Layout = { ...PLAIN_LAYOUT, up: '-X', targetLine: { from: 'from', to: 'to' } };
    expectSame(
      plain,
      measured({ ...named, targetFrom: fixed([0, 0, 0.4]), targetTo: fixed([2, 0.3, 0.4]) }, layout),
    );
  });

  it('with other frames before it', () => {
    const { named } = recordSwing(plantSwing(), recording);
    const cut = 31;
    const tracks = new Map(
      [...named.trial.tracks].map(([name, t]) => [
        name,
        { x: t.x.slice(cut), y: t.y.slice(cut), z: t.z.slice(cut) },
      ]),
    );
    const later = measured({ ...named, trial: { ...named.trial, frames: named.trial.frames - cut, tracks } });
    // Fewer still frames change the estimate of noise a little, and the uncertainties with it, but no value.
    for (const [column, value] of Object.entries(plain.swing))
      if (!column.endsWith('_sd') && value !== null)
        expect(Math.abs(later.swing[column]! - value)).toBeLessThan(1e-9 * Math.max(1, Math.abs(value)));
  });

  it('mirrored and declared left-handed', () => {
    const { named } = recordSwing(plantSwing(), { ...recording, place: ([x, y, z]) => [x, y, -z] });
    expectSame(plain, measured(named, { ...PLAIN_LAYOUT, plays: 'left' }));
  });
});

describe('the same faulty markers in other clothes give the same numbers and the same repairs', () => {
  /** A gap, two exchanged markers and one that stands elsewhere, put into a recording. */
  const spoil = (named: NamedChannels, place: (point: Point) => Point = (p) => p): NamedChannels => {
    const { tracks } = named.trial;
    const axes = ['x', 'y', 'z'] as const;
    const [elbow, wrist, hip] = ['trail_elbow', 'trail_wrist', 'lead_hip'].map((n) => tracks.get(n)!);
    const [here, there] = [place([0, 0, 0]), place([0.3, -0.2, 0.1])];
    axes.forEach((axis, k) => {
      for (let i = 330; i < 350; i++)
        [elbow![axis][i], wrist![axis][i]] = [wrist![axis][i]!, elbow![axis][i]!];
      for (let i = 300; i < 304; i++) hip![axis][i] = hip![axis][i]! + there[k]! - here[k]!;
      tracks.get('grip')![axis].fill(Number.NaN, 320, 327);
    });
    return named;
  };
  const recording: Recording = { rateHz: 240, noise_m: 0.001, seed: 7 };
  const repairsOf = ({ processing }: Measurement) =>
    processing.repairs.map(({ found, landmarks, from, to, done }) => [found, landmarks, from, to, done]);

  it.each([
    ['as it is by default', {}],
    ['with cut-offs by residual analysis', { processing: { cutoff: 'by residual analysis' } }],
    ['with derivatives from a spline', { processing: { derivatives: 'spline' } }],
  ] as const)('processed %s', (_how, choice) => {
    const layout: Layout = { ...PLAIN_LAYOUT, ...choice };
    const plain = measured(spoil(recordSwing(plantSwing(), recording).named), layout);
    expect(repairsOf(plain)).toEqual([
      ['exchanged markers', ['trail_elbow', 'trail_wrist'], 331, 350, 'put right'],
      ['marker away from its place', ['lead_hip'], 301, 304, 'left missing'],
    ]);
    const turn = 1.1;
    const turned = ([x, y, z]: Point): Point => [
      3 - y,
      x * Math.cos(turn) - z * Math.sin(turn) - 2,
      x * Math.sin(turn) + z * Math.cos(turn) + 5,
    ];
    const rotated = spoil(recordSwing(plantSwing(), { ...recording, place: turned }).named, turned);
    const fixed = (p: Point) => {
      const [x, y, z] = turned(p).map((v) => new Float64Array(rotated.trial.frames).fill(v));
      return { x: x!, y: y!, z: z! };
    };
    const other = measured(
      { ...rotated, targetFrom: fixed([0, 0, 0.4]), targetTo: fixed([2, 0.3, 0.4]) },
      { ...layout, up: '-X', targetLine: { from: 'from', to: 'to' } },
    );
    expectSame(plain, other);
    expect(repairsOf(other)).toEqual(repairsOf(plain));

    const mirror = ([x, y, z]: Point): Point => [x, y, -z];
    const left = spoil(recordSwing(plantSwing(), { ...recording, place: mirror }).named, mirror);
    expectSame(plain, measured(left, { ...layout, plays: 'left' }));

    const numbered = measureTrial(spoil(recordSwing(plantSwing(), recording).named), layout, 4001);
    if (!numbered.ok) throw new Error('refused');
    expect(numbered.value.swing).toEqual(plain.swing);
    expect(numbered.value.processing.repairs[0]!.from).toBe(4331);

    // As a file in millimetres, read back through its layout.
    const names = [...rotated.trial.tracks.keys()];
    const inUnits = (perMetre: number): Capture => {
      const { trial } = spoil(recordSwing(plantSwing(), recording).named);
      const coordinates = new Float64Array(3 * names.length * trial.frames);
      names.forEach((name, m) => {
        const { x, y, z } = trial.tracks.get(name)!;
        for (let i = 0; i < trial.frames; i++)
          coordinates.set([x[i]! * perMetre, y[i]! * perMetre, z[i]! * perMetre], 3 * (i * names.length + m));
      });
      return {
        encoding: 'float',
        byteOrder: 'Intel',
        rateHz: 240,
        firstFrame: 1,
        frames: trial.frames,
        labels: names,
        unit: null,
        coordinates,
        residuals: null,
        events: [],
        analog: null,
      };
    };
    const inMillimetres: Layout = {
      ...layout,
      lengthUnit: 'mm',
      landmarks: Object.fromEntries(names.map((name) => [name, name])),
      ball: plantSwing().ball.map((v) => 1000 * v) as Point,
    };
    const named = nameChannels(inUnits(1000), inMillimetres);
    if (!named.ok) throw new Error(JSON.stringify(named.problems));
    expectSame(plain, measured(named.value, inMillimetres));
  });
});

describe('a layout that contradicts the swing', () => {
  const where = (recording: Recording, layout: Layout): string[] => {
    const result = measureTrial(recordSwing(plantSwing(), recording).named, layout, 1);
    return result.ok ? [] : result.problems.map((p) => p.where);
  };

  it('is caught when the target lies the other way', () => {
    expect(where({ rateHz: 240 }, { ...PLAIN_LAYOUT, targetLine: { axis: '-X' } })).toEqual([
      'layout /targetLine',
    ]);
  });

  it('is caught when a left-hander is declared to play right, or a right-hander left', () => {
    expect(where({ rateHz: 240, place: ([x, y, z]) => [x, y, -z] }, PLAIN_LAYOUT)).toEqual(['layout /plays']);
    expect(where({ rateHz: 240 }, { ...PLAIN_LAYOUT, plays: 'left' })).toEqual(['layout /plays']);
  });

  it('is caught when lead and trail are exchanged', () => {
    const { named } = recordSwing(plantSwing(), { rateHz: 240 });
    const swap = (name: string): string =>
      name.startsWith('lead_') ? name.replace('lead_', 'trail_') : name.replace('trail_', 'lead_');
    const tracks = new Map([...named.trial.tracks].map(([name, track]) => [swap(name), track]));
    const result = measureTrial({ ...named, trial: { ...named.trial, tracks } }, PLAIN_LAYOUT, 1);
    expect(result.ok).toBe(false);
    if (!result.ok) expect(result.problems[0]!.remedy).toMatch(/Exchange/);
  });
});

describe('what cannot be measured', () => {
  it('is null with a reason when a landmark is not named', () => {
    const { named } = recordSwing(plantSwing(), { rateHz: 240 });
    const tracks = new Map([...named.trial.tracks].filter(([name]) => name !== 'trail_elbow'));
    const value = measured({ ...named, trial: { ...named.trial, tracks } });
    expect(value.swing.trail_elbow_flexion_top_deg).toBeNull();
    expect(value.swing.trail_elbow_flexion_top_deg_sd).toBeNull();
    expect(value.swing.lag_top_deg).not.toBeNull();
    expect(value.warnings.join('\n')).toMatch(/trail_elbow_flexion_top_deg.*names no trail_elbow/);
  });

  it('is null with a reason inside a gap too long to fill, and stays where the gap is short', () => {
    const gapped = (seconds: number): Measurement => {
      const { named, start_s } = recordSwing(plantSwing(), { rateHz: 240 });
      const wrist = named.trial.tracks.get('trail_wrist')!;
      const from = Math.round((plantedMoments.top - seconds / 2 - start_s) * 240);
      for (const axis of ['x', 'y', 'z'] as const)
        wrist[axis].fill(Number.NaN, from, from + Math.round(seconds * 240));
      return measured(named);
    };
    const short = gapped(0.03);
    expect(short.swing.trail_elbow_flexion_top_deg).toBeCloseTo(
      measure({ rateHz: 240 }).swing.trail_elbow_flexion_top_deg!,
      1,
    );
    expect(short.warnings.join()).toMatch(/7 frames of trail_wrist were missing in short gaps/);
    const long = gapped(0.2);
    expect(long.swing.trail_elbow_flexion_top_deg).toBeNull();
    expect(long.swing.trail_elbow_flexion_impact_deg).not.toBeNull();
    expect(long.warnings.join()).toMatch(
      /48 frames of trail_wrist are missing and were not filled .* 200 ms/,
    );
  });

  it('is everything when no club head is named or it does not move', () => {
    const { named } = recordSwing(plantSwing(), { rateHz: 240 });
    const tracks = new Map([...named.trial.tracks].filter(([name]) => name !== 'club_head'));
    const none = measured({ ...named, trial: { ...named.trial, tracks } });
    expect(Object.values(none.swing).every((v) => v === null)).toBe(true);
    expect(none.instants).toEqual({});
    const still = measure({ rateHz: 240, start_s: 5 });
    expect(still.instants).toEqual({});
    expect(still.warnings.join()).toMatch(/not seen moving/);
  });

  it('survives a head that is lost about impact', () => {
    const { named, start_s } = recordSwing(plantSwing(), { rateHz: 240 });
    const head = named.trial.tracks.get('club_head')!;
    const impact = Math.round(-start_s * 240);
    for (const axis of ['x', 'y', 'z'] as const) head[axis].fill(Number.NaN, impact - 1, impact + 4);
    const value = measured(named);
    expect(Math.abs(value.swing.club_speed_mps! - plantedMetrics(plantSwing()).club_speed_mps!)).toBeLessThan(
      1,
    );
    expect(
      Math.abs(value.swing.shaft_lean_impact_deg! - plantedMetrics(plantSwing()).shaft_lean_impact_deg!),
    ).toBeLessThan(1);
  });
});
