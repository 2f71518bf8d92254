import { describe, expect, it } from 'vitest';
import {
  checkLayout,
  lagAngle,
  nameChannels,
  readC3d,
  shaftLean,
  type Track,
  type Trial,
  threePointFlexion,
  type Vector,
} from '../../../src/kinematics/index.ts';
import {
  type CaptureSettings,
  CLEAN_CAPTURE,
  captureFile,
  captureSwing,
  type Lab,
  layoutOf,
  type SwingToCapture,
} from '../../../src/synthetic/captures/index.ts';
import { simulateDownswing } from '../../../src/synthetic/mechanics/index.ts';
import { someSwings } from './some-swings.ts';

const LABS: readonly Lab[] = [
  { up: '+Z', heading_deg: 0, origin_m: [0, 0, 0], unit: 'mm' },
  { up: '+Y', heading_deg: 90, origin_m: [1, -0.2, 3], unit: 'm' },
  { up: '-X', heading_deg: 217.3, origin_m: [-2, 0.4, 0.7], unit: 'cm' },
  { up: '+Z', heading_deg: -31, origin_m: [0.3, 1, -1], unit: 'in' },
];

interface Reading {
  readonly time_s: number;
  readonly flexion: number;
  readonly lag: number;
  readonly lean: number;
}

/** Angles frame by frame from the markers of a file alone: written, read, named, turned into the lab by its layout. */
function fromMarkers(swing: SwingToCapture, settings: CaptureSettings): Reading[] {
  const capture = captureSwing(swing, settings, 3);
  if ('fault' in capture) throw new Error(`${swing.swing_id}: ${capture.fault}`);
  const read = readC3d(captureFile(capture, settings));
  if (!read.ok) throw new Error(read.fault.found);
  expect(read.warnings).toEqual([]);
  const layout = checkLayout(layoutOf(settings.lab, swing.plays, 0));
  if (!layout.ok) throw new Error(JSON.stringify(layout.problems));
  const named = nameChannels(read.capture, layout.value);
  if (!named.ok) throw new Error(JSON.stringify(named.problems));
  expect(named.value.warnings).toEqual([]);
  const { trial, targetFrom, targetTo } = named.value;
  const lean = leanReader(trial, settings.lab, swing.plays, targetFrom, targetTo);
  const at = (name: string, i: number): Vector => pointAt(trial.tracks.get(name)!, i);
  return Array.from({ length: trial.frames }, (_, i) => ({
    time_s: capture.first_s + i / settings.rateHz,
    flexion: threePointFlexion(at('trail_shoulder', i), at('trail_elbow', i), at('trail_wrist', i)),
    lag: lagAngle(at('lead_elbow', i), at('lead_wrist', i), at('grip', i), at('club_head', i)),
    lean: lean(i),
  }));
}

const pointAt = ({ x, y, z }: Track, i: number): Vector => [x[i]!, y[i]!, z[i]!];

const ofAxis = (axis: string): Vector => {
  const size = axis[0] === '+' ? 1 : -1;
  return [axis[1] === 'X' ? size : 0, axis[1] === 'Y' ? size : 0, axis[1] === 'Z' ? size : 0];
};
const apart = (a: Vector, b: Vector): Vector => [b[0] - a[0], b[1] - a[1], b[2] - a[2]];

/** Lean against the target line: up and the line to the target as the layout has them, by hand. */
function leanReader(trial: Trial, lab: Lab, plays: 'right' | 'left', from: Track | null, to: Track | null) {
  const up = ofAxis(lab.up);
  const axis = layoutOf(lab, plays, 0).targetLine;
  const toward: Vector = 'axis' in axis ? ofAxis(axis.axis) : apart(pointAt(from!, 0), pointAt(to!, 0));
  const size = Math.hypot(...toward);
  const dot = (a: Vector, b: Vector): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
  const flat = (p: Vector): Vector => [dot(p, toward) / size, dot(p, up), 0];
  return (i: number): number =>
    shaftLean(flat(pointAt(trial.tracks.get('grip')!, i)), flat(pointAt(trial.tracks.get('club_head')!, i)));
}

describe('angles from the markers of a capture without noise', () => {
  it('are those of the mechanics within 0.01 deg: 24 golfers, left-handers, four labs, 240 and 1000 Hz', () => {
    const worst = { flexion: 0, lag: 0, lean: 0 };
    let compared = 0;
    someSwings(24).forEach((swing, i) => {
      const settings = { ...CLEAN_CAPTURE, lab: LABS[i % 4]!, rateHz: i % 2 === 0 ? 240 : 1000 };
      const simulated = simulateDownswing(swing.body, swing.timings);
      if (simulated.run === null) throw new Error(simulated.fault.found);
      const { series, impact } = simulated.run;
      const slope = Math.sin((swing.body.planeInclination_deg * Math.PI) / 180);
      // The series of the mechanics stands at whole milliseconds; a cubic through four of them is good to far below 0.001 deg.
      const model = (values: Float64Array, time: number): number => cubic(values, time * 1000);
      for (const { time_s, flexion, lag, lean } of fromMarkers(swing, settings)) {
        const time = time_s + impact.time_s;
        if (time < 0.13 || time_s > 0) continue;
        const club = (model(series.club_deg, time) * Math.PI) / 180;
        const off = {
          flexion: flexion - model(series.trailElbow_deg, time),
          lag: lag - Math.abs(model(series.lag_deg, time)),
          lean: lean - (Math.atan2(-Math.sin(club), Math.cos(club) * slope) * 180) / Math.PI,
        };
        for (const key of ['flexion', 'lag', 'lean'] as const)
          worst[key] = Math.max(worst[key], Math.abs(((off[key] + 540) % 360) - 180));
        compared++;
      }
    });
    expect(compared).toBeGreaterThan(2000);
    expect(worst.flexion).toBeLessThan(0.01);
    expect(worst.lag).toBeLessThan(0.01);
    expect(worst.lean).toBeLessThan(0.01);
  });

  it('are those of the mechanics at impact, where the truth says impact is', () => {
    for (const swing of someSwings(8, 5)) {
      const capture = captureSwing(swing, CLEAN_CAPTURE, 1);
      const simulated = simulateDownswing(swing.body, swing.timings);
      if ('fault' in capture || simulated.run === null) throw new Error('no swing');
      const { impact } = simulated.run;
      const { metrics } = capture.truth;
      expect(metrics.trail_elbow_flexion_impact_deg).toBeCloseTo(impact.trailElbow_deg, 3);
      expect(metrics.lag_impact_deg).toBeCloseTo(Math.abs(impact.lag_deg), 3);
      expect(metrics.shaft_lean_impact_deg).toBeCloseTo(impact.lean_deg, 3);
      expect(metrics.club_speed_mps).toBeCloseTo(impact.headSpeed_m_s, 3);
    }
  });

  it('keep every rigid segment rigid, and the head on the ball at impact', () => {
    const [swing] = someSwings(1);
    const capture = captureSwing(swing!, CLEAN_CAPTURE, 1);
    if ('fault' in capture) throw new Error(capture.fault);
    const layout = layoutOf(CLEAN_CAPTURE.lab, 'right', 0);
    const index = (name: string): number => capture.labels.indexOf(String(layout.landmarks[name]));
    const apart = (a: string, b: string, frame: number): number => {
      const at = (name: string, k: number): number =>
        capture.coordinates[3 * (frame * capture.labels.length + index(name)) + k]!;
      return Math.hypot(...[0, 1, 2].map((k) => at(a, k) - at(b, k)));
    };
    for (const names of Object.values(layout.rigidSegments!))
      for (const a of names)
        for (const b of names)
          for (let frame = 0; frame < capture.frames; frame += 7)
            expect(apart(a, b, frame)).toBeCloseTo(apart(a, b, 0), 6);
  });
});

/** The cubic through the four samples about a place. */
function cubic(values: Float64Array, place: number): number {
  const k = Math.min(values.length - 3, Math.max(1, Math.floor(place)));
  const s = place - k;
  const [a, b, c, d] = [values[k - 1]!, values[k]!, values[k + 1]!, values[k + 2]!];
  return (
    (-a * s * (s - 1) * (s - 2)) / 6 +
    (b * (s + 1) * (s - 1) * (s - 2)) / 2 -
    (c * (s + 1) * s * (s - 2)) / 2 +
    (d * (s + 1) * s * (s - 1)) / 6
  );
}
