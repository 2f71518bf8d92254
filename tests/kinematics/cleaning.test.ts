import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cleanMarkers } from '../../src/kinematics/cleaning/clean-markers.ts';
import { fillFromCluster } from '../../src/kinematics/cleaning/cluster-fill.ts';
import {
  type Layout,
  type Measurement,
  measureTrial,
  type Track,
  type Trial,
} from '../../src/kinematics/index.ts';
import { createStream } from '../../src/numerics/index.ts';
import { type Point, plantedMoments, plantSwing } from './planted-swing.ts';
import { PLAIN_LAYOUT, type Recording, recordSwing } from './record-swing.ts';

const RATE_HZ = 240;
const NOISY: Recording = { rateHz: RATE_HZ, noise_m: 0.001, seed: 11 };
const AXES = ['x', 'y', 'z'] as const;

function record(recording: Recording = NOISY) {
  const { named, start_s } = recordSwing(plantSwing(), recording);
  const frameOf = (t: number): number => Math.round((t - start_s) * recording.rateHz);
  return { named, frameOf, tracks: named.trial.tracks };
}

/** Exchanges two landmarks in frames from..to of a recording. */
function exchange(tracks: ReadonlyMap<string, Track>, a: string, b: string, from: number, to: number): void {
  const [one, two] = [tracks.get(a)!, tracks.get(b)!];
  for (const axis of AXES)
    for (let i = from; i <= to; i++) [one[axis][i], two[axis][i]] = [two[axis][i]!, one[axis][i]!];
}

function displace(track: Track, from: number, to: number, by: Point): void {
  AXES.forEach((axis, k) => {
    for (let i = from; i <= to; i++) track[axis][i] = track[axis][i]! + by[k]!;
  });
}

const measured = (named: Parameters<typeof measureTrial>[0], layout: Layout = PLAIN_LAYOUT): Measurement => {
  const result = measureTrial(named, layout, 1);
  if (!result.ok) throw new Error(JSON.stringify(result.problems));
  return result.value;
};

const coordinates = (trial: Trial): number[] =>
  [...trial.tracks.values()].flatMap(({ x, y, z }) => [...x, ...y, ...z]);

describe('markers without faults', () => {
  it('are left as they are: 30 noisy swings, with and without contact, at three rates', () => {
    for (let seed = 1; seed <= 30; seed++) {
      const rateHz = [120, 240, 500][seed % 3]!;
      const swing = plantSwing({ contactLoss: seed % 2 === 0 ? 0.3 : 0 });
      const { named } = recordSwing(swing, { rateHz, noise_m: 0.002, seed, phase: seed / 31 });
      const clean = cleanMarkers(named.trial, null, {});
      expect(clean.repairs).toEqual([]);
      expect(coordinates(clean.trial)).toEqual(coordinates(named.trial));
    }
  });
});

describe('two markers exchanged for some frames', () => {
  const pairs = [
    ['trail_elbow', 'trail_wrist'],
    ['lead_elbow', 'lead_wrist'],
    ['trail_wrist', 'lead_wrist'],
    ['grip', 'club_head'],
    ['lead_hip', 'trail_hip'],
    ['lead_shoulder', 'trail_elbow'],
  ] as const;

  it.each(pairs)('%s and %s are found, named with their frames and put right', (a, b) => {
    for (const [start, length] of [
      [-1.2, 40],
      [-0.9, 1],
      [-0.5, 25],
      [-0.12, 10],
      [0.2, 30],
    ] as const) {
      const { named, tracks, frameOf } = record();
      const truth = coordinates(named.trial);
      const [from, to] = [frameOf(start), frameOf(start) + length - 1];
      exchange(tracks, a, b, from, to);
      const clean = cleanMarkers(named.trial, null, {});
      expect(
        clean.repairs.map(({ found, landmarks, from, to, done }) => ({ found, landmarks, from, to, done })),
      ).toEqual([{ found: 'exchanged markers', landmarks: [a, b].sort(), from, to, done: 'put right' }]);
      expect(coordinates(clean.trial)).toEqual(truth);
    }
  });

  it('are put right by their lengths where they are exchanged at an end of the capture, or for most of it', () => {
    for (const [from, to] of [
      [0, 50],
      [400, 527],
      [60, 500],
    ] as const) {
      const { named, tracks } = record();
      const truth = coordinates(named.trial);
      exchange(tracks, 'trail_elbow', 'trail_wrist', from, to);
      const clean = cleanMarkers(named.trial, null, {});
      expect(clean.repairs.map(({ from, to, done }) => [from, to, done])).toEqual([[from, to, 'put right']]);
      expect(coordinates(clean.trial)).toEqual(truth);
    }
  });

  it('are left missing where nothing tells which side is right', () => {
    const { named, tracks } = record();
    exchange(tracks, 'lead_hip', 'trail_hip', 450, 527);
    const { repairs, trial } = cleanMarkers(named.trial, null, {});
    expect(repairs).toMatchObject([{ found: 'exchanged markers', from: 450, to: 527, done: 'left missing' }]);
    for (const name of ['lead_hip', 'trail_hip']) {
      expect(trial.tracks.get(name)!.x.subarray(450).every(Number.isNaN)).toBe(true);
      expect(trial.tracks.get(name)!.x.subarray(0, 450).some(Number.isNaN)).toBe(false);
    }
  });

  it('are said in the warnings and in the record, with frames as the file counts them, and change no number', () => {
    const plain = measured(record().named);
    const { named, tracks } = record();
    exchange(tracks, 'trail_elbow', 'trail_wrist', 300, 330);
    const result = measureTrial(named, PLAIN_LAYOUT, 1001);
    if (!result.ok) throw new Error('refused');
    expect(result.value.swing).toEqual(plain.swing);
    expect(result.value.processing.repairs).toMatchObject([{ from: 1301, to: 1331 }]);
    expect(result.value.warnings.join()).toMatch(
      /trail_elbow and trail_wrist are exchanged in frames 1301 to 1331: put right \(the lengths/,
    );
  });
});

describe('a marker that stands elsewhere for some frames', () => {
  it('is left missing there, and what is short is filled: any landmark, any direction', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(
          'trail_shoulder',
          'trail_elbow',
          'trail_wrist',
          'lead_wrist',
          'lead_hip',
          'club_head',
        ),
        fc.integer({ min: 20, max: 480 }),
        fc.integer({ min: 1, max: 8 }),
        fc.constantFrom<Point>([0.4, 0, 0], [-0.2, 0.3, 0.1], [0, -0.35, 0.2]),
        (name, from, length, by) => {
          const { named, tracks } = record();
          const truth = coordinates(named.trial);
          const to = from + length - 1;
          displace(tracks.get(name)!, from, to, by);
          const { repairs, trial } = cleanMarkers(named.trial, null, {});
          expect(repairs).toMatchObject([
            { found: 'marker away from its place', landmarks: [name], from, to, done: 'left missing' },
          ]);
          const track = trial.tracks.get(name)!;
          expect([...track.x.subarray(from, to + 1)].every(Number.isNaN)).toBe(true);
          const kept = coordinates(trial).filter((v, i) => !Number.isNaN(v) && v !== truth[i]);
          expect(kept).toEqual([]);
        },
      ),
      {
        numRuns: 60,
        // The head is fastest inside these frames, and slower where it leaves its path and where it is back.
        examples: [
          ['club_head', 380, 7, [0.4, 0, 0]],
          ['club_head', 380, 8, [-0.2, 0.3, 0.1]],
          ['club_head', 382, 4, [0, -0.35, 0.2]],
        ],
      },
    );
  });

  it('is known by the length of its segment where it does not come back', () => {
    const { named, tracks } = record();
    displace(tracks.get('trail_elbow')!, 430, 527, [0, 0.25, 0]);
    const { repairs } = cleanMarkers(named.trial, null, {});
    expect(repairs).toMatchObject([{ landmarks: ['trail_elbow'], from: 430, to: 527, done: 'left missing' }]);
  });

  it('is kept and named where neither its way nor a length tells', () => {
    const { named, tracks } = record();
    displace(tracks.get('lead_hip')!, 430, 527, [0, 0.25, 0]);
    const value = measured(named);
    expect(value.processing.repairs).toMatchObject([{ found: 'step in a path', done: 'kept', from: 431 }]);
    expect(value.warnings.join()).toMatch(/The path of lead_hip steps aside/);
  });

  it('gives nearly the numbers of the swing without it', () => {
    const plain = measured(record().named);
    const { named, tracks, frameOf } = record();
    displace(
      tracks.get('trail_wrist')!,
      frameOf(plantedMoments.top) - 3,
      frameOf(plantedMoments.top) + 2,
      [0.3, 0.2, 0],
    );
    const value = measured(named);
    for (const [column, number] of Object.entries(plain.swing))
      if (!column.endsWith('_sd'))
        expect(Math.abs(value.swing[column]! - number!), column).toBeLessThan(
          3 * Math.max(plain.swing[`${column}_sd`]!, 1e-9),
        );
  });
});

describe('a gap in a rigid segment', () => {
  /** Five markers on a body that turns and travels; the truth is known in every frame. */
  const corners: readonly Point[] = [
    [0, 0, 0],
    [0.1, 0, 0],
    [0, 0.12, 0],
    [0.02, 0.03, 0.15],
    [0.09, 0.1, 0.05],
  ];
  const FRAMES = 200;
  function body(noise: number): Track[] {
    const stream = createStream(5);
    const tracks = corners.map(() => ({
      x: new Float64Array(FRAMES),
      y: new Float64Array(FRAMES),
      z: new Float64Array(FRAMES),
    }));
    for (let i = 0; i < FRAMES; i++) {
      const [a, b] = [0.02 * i, Math.sin(0.03 * i)];
      corners.forEach(([p, q, r], k) => {
        const [x, y] = [p * Math.cos(a) - q * Math.sin(a), p * Math.sin(a) + q * Math.cos(a)];
        const [y2, z2] = [y * Math.cos(b) - r * Math.sin(b), y * Math.sin(b) + r * Math.cos(b)];
        tracks[k]!.x[i] = x + 0.01 * i + stream.normal(0, noise);
        tracks[k]!.y[i] = y2 + stream.normal(0, noise);
        tracks[k]!.z[i] = z2 - 0.005 * i + stream.normal(0, noise);
      });
    }
    return tracks;
  }
  const worst = (a: Track, b: Track): number =>
    Math.max(...AXES.flatMap((axis) => Array.from(a[axis], (v, i) => Math.abs(v - b[axis][i]!))));
  const cut = (track: Track, from: number, to: number): Track => {
    const out = { x: track.x.slice(), y: track.y.slice(), z: track.z.slice() };
    for (const axis of AXES) out[axis].fill(Number.NaN, from, to + 1);
    return out;
  };

  it('is filled exactly where the segment is rigid, however long, at the ends too', () => {
    const [missing, ...others] = body(0);
    for (const [from, to] of [
      [60, 150],
      [0, 70],
      [120, 199],
      [5, 5],
    ] as const) {
      const filled = fillFromCluster(cut(missing!, from, to), others);
      expect(filled.gaps).toEqual([{ from, to, filled: true }]);
      expect(worst(filled.track, missing!)).toBeLessThan(1e-12);
    }
  });

  it('is filled within the size of the noise', () => {
    const [missing, ...others] = body(0.001);
    const { track } = fillFromCluster(cut(missing!, 60, 150), others);
    expect(worst(track, missing!)).toBeLessThan(0.01);
  });

  it('stays where two others are seen, where they lie in a line, or where the segment bends', () => {
    const [missing, a, b, c, d] = body(0) as [Track, Track, Track, Track, Track];
    const gap = cut(missing, 60, 90);
    expect(fillFromCluster(gap, [a, b]).gaps).toEqual([]);
    const between = (share: number): Track => ({
      x: a.x.map((v, i) => v + share * (b.x[i]! - v)),
      y: a.y.map((v, i) => v + share * (b.y[i]! - v)),
      z: a.z.map((v, i) => v + share * (b.z[i]! - v)),
    });
    expect(fillFromCluster(gap, [a, b, between(0.5), between(0.3)]).gaps).toEqual([]);
    const bent = { ...d, x: d.x.map((v, i) => v + 0.002 * i) };
    const { gaps } = fillFromCluster(cut(missing, 60, 150), [a, b, bent]);
    expect(gaps.some(({ from, to }) => from <= 105 && to >= 105)).toBe(false);
    const half = fillFromCluster(gap, [a, b, cut(c, 70, 80)]);
    expect(half.gaps).toEqual([
      { from: 60, to: 69, filled: true },
      { from: 81, to: 90, filled: true },
    ]);
  });

  it('of a measured swing is filled through impact, and what stands in the record says by what', () => {
    const { named, tracks, frameOf } = record({ rateHz: RATE_HZ });
    const truth = measured(record({ rateHz: RATE_HZ }).named);
    const [grip, head] = [tracks.get('grip')!, tracks.get('club_head')!];
    // Three more markers of the club: on the shaft, and off its line in the plane and across it.
    const along = (share: number, up: number): Track => {
      const out = {
        x: new Float64Array(grip.x.length),
        y: new Float64Array(grip.x.length),
        z: new Float64Array(grip.x.length),
      };
      // The planted club turns in a plane inclined by 60 degrees; its normal does not change.
      const normal = [0, Math.cos(Math.PI / 3), Math.sin(Math.PI / 3)];
      AXES.forEach((axis, k) => {
        for (let i = 0; i < out.x.length; i++)
          out[axis][i] = grip[axis][i]! + share * (head[axis][i]! - grip[axis][i]!) + up * normal[k]!;
      });
      return out;
    };
    const more = new Map([...tracks, ['shaft_a', along(0.4, 0.1)], ['shaft_b', along(0.8, -0.1)]]);
    const [from, to] = [frameOf(-0.1), frameOf(0.1)];
    for (const axis of AXES) head[axis].fill(Number.NaN, from, to + 1);
    const layout: Layout = {
      ...PLAIN_LAYOUT,
      rigidSegments: { club: ['grip', 'club_head', 'shaft_a', 'shaft_b'] },
    };
    const value = measured({ ...named, trial: { ...named.trial, tracks: more } }, layout);
    expect(value.processing.gaps).toEqual([
      { landmark: 'club_head', from: from + 1, to: to + 1, filledBy: 'rigid segment' },
    ]);
    expect(value.warnings.join()).toMatch(
      /49 frames of club_head .* filled from the other markers of its rigid segment/,
    );
    for (const column of ['shaft_lean_impact_deg', 'club_speed_mps', 'lag_impact_deg'])
      expect(value.swing[column]).toBeCloseTo(truth.swing[column]!, 6);
    const without = measured({ ...named, trial: { ...named.trial, tracks: more } });
    expect(without.swing.shaft_lean_impact_deg).toBeNull();
  });
});

describe('hostile markers', () => {
  const spoil: Record<string, (tracks: Map<string, Track>) => void> = {
    'never seen': (tracks) => tracks.get('trail_wrist')!.x.fill(Number.NaN),
    'that never moves': (tracks) => {
      for (const axis of AXES) tracks.get('trail_wrist')![axis].fill(tracks.get('trail_wrist')![axis][0]!);
    },
    'seen in two frames': (tracks) => {
      for (const axis of AXES) tracks.get('trail_wrist')![axis].fill(Number.NaN, 2);
    },
    'seen in every other frame': (tracks) => {
      const { x, y, z } = tracks.get('trail_wrist')!;
      for (let i = 0; i < x.length; i += 2) x[i] = y[i] = z[i] = Number.NaN;
    },
    'with gaps at both ends': (tracks) => {
      for (const axis of AXES) {
        tracks.get('trail_wrist')![axis].fill(Number.NaN, 0, 60);
        tracks.get('trail_wrist')![axis].fill(Number.NaN, 500);
      }
    },
    'that is another one': (tracks) => {
      tracks.set('trail_wrist', tracks.get('trail_elbow')!);
    },
    'elsewhere in every frame': (tracks) => {
      const stream = createStream(3);
      for (const axis of AXES)
        for (let i = 0; i < 528; i++)
          tracks.get('trail_wrist')![axis][i] = tracks.get('trail_wrist')![axis][0]! + 0.2 * stream.normal();
    },
  };

  it.each(Object.keys(spoil))(
    'a marker %s: nothing thrown, no number that is none, the others measured',
    (what) => {
      const { named } = record();
      const tracks = new Map(named.trial.tracks);
      spoil[what]!(tracks);
      for (const layout of [
        PLAIN_LAYOUT,
        { ...PLAIN_LAYOUT, processing: { cutoff: 'by residual analysis', derivatives: 'spline' } },
      ] as const) {
        const value = measured({ ...named, trial: { ...named.trial, tracks } }, layout);
        for (const number of Object.values(value.swing))
          expect(number === null || Number.isFinite(number)).toBe(true);
        expect(value.swing.shaft_lean_impact_deg).not.toBeNull();
        expect(JSON.stringify(value.processing)).not.toMatch(/NaN|Infinity/);
      }
    },
  );

  it('two landmarks on one channel are named', () => {
    const { named } = record();
    const tracks = new Map([
      ...named.trial.tracks,
      ['trail_wrist', named.trial.tracks.get('trail_elbow')!] as const,
    ]);
    expect(measured({ ...named, trial: { ...named.trial, tracks } }).warnings.join()).toMatch(
      /trail_elbow and trail_wrist are one marker/,
    );
  });

  it('a capture of two frames, or of one, is measured to nothing, with reasons', () => {
    for (const frames of [1, 2]) {
      const { named } = record({ rateHz: RATE_HZ, length_s: frames / RATE_HZ });
      const value = measured(named);
      expect(Object.values(value.swing).every((v) => v === null)).toBe(true);
      expect(value.warnings.length).toBeGreaterThan(0);
    }
  });
});
