import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, it } from 'vitest';
import { INSTANT_NAMES, type Measurement, measureCapture, readC3d } from '../../src/kinematics/index.ts';
import { sharedReference } from '../reference/shared.ts';

// A real swing of 514 frames at 107.5 Hz from the sample files of the C3D format's site, and its layout. It may be read
// from the reference folder but not copied here.
const file = sharedReference('swing/real-swing.c3d');
const layoutFile = sharedReference('swing/layout.json');

describe.skipIf(!file || !layoutFile)('the real swing', () => {
  let bytes: Uint8Array;
  let layout: Record<string, unknown>;
  let value: Measurement;

  const measure = (c3dBytes: Uint8Array, given: unknown): Measurement => {
    const result = measureCapture({ c3dBytes, layout: given });
    if (!result.ok) throw new Error(JSON.stringify(result.problems));
    return result.value;
  };

  beforeAll(() => {
    bytes = new Uint8Array(readFileSync(file!));
    layout = JSON.parse(readFileSync(layoutFile!, 'utf8'));
    value = measure(bytes, layout);
  });

  it('has its instants in order', () => {
    const times = INSTANT_NAMES.map((name) => value.instants[name]!);
    expect(times.every(Number.isFinite)).toBe(true);
    for (let i = 1; i < times.length; i++) expect(times[i]!).toBeGreaterThan(times[i - 1]!);
    expect(value.instants.impact).toBe(0);
  });

  it('is fastest at the head within three frames of impact', () => {
    const read = readC3d(bytes);
    if (!read.ok) throw new Error('unread');
    const { coordinates, labels, frames } = read.capture;
    const head = labels.indexOf('Channel801');
    // Speed by plain differences of the raw file, no code under test.
    const speed = Array.from({ length: frames - 1 }, (_, i) => {
      const [a, b] = [3 * (i * labels.length + head), 3 * ((i + 1) * labels.length + head)];
      return Math.hypot(...[0, 1, 2].map((k) => coordinates[b + k]! - coordinates[a + k]!));
    });
    const fastest = speed.indexOf(Math.max(...speed)) + 0.5 + read.capture.firstFrame;
    expect(Math.abs(value.instantDetails.impact!.frame - fastest)).toBeLessThan(3);
  });

  it('bends the trail elbow far more at the top than at impact, and straightens it after', () => {
    const at = value.perInstant;
    const top = at.top!.trail_elbow_flexion_deg!;
    const impact = at.impact!.trail_elbow_flexion_deg!;
    expect(top - impact).toBeGreaterThan(40);
    expect(at['full extension']!.trail_elbow_flexion_deg!).toBeLessThan(impact);
    expect(value.swing.trail_elbow_flexion_top_deg).toBe(top);
  });

  it('loses its lag on the way down', () => {
    const lag = (name: 'top' | 'delivery' | 'impact') => value.perInstant[name]!.lag_deg!;
    expect(lag('top')).toBeGreaterThan(lag('delivery'));
    expect(lag('delivery')).toBeGreaterThan(lag('impact'));
  });

  it('reads flexion, lag and lean at every instant, with uncertainty', () => {
    for (const name of INSTANT_NAMES) {
      const readings = value.perInstant[name]!;
      for (const key of ['trail_elbow_flexion_deg', 'lag_deg', 'shaft_lean_deg'] as const) {
        expect(Number.isFinite(readings[key])).toBe(true);
        expect(readings[`${key}_sd`]).toBeGreaterThanOrEqual(0);
      }
      expect(value.instantDetails[name]!.uncertainty_s).toBeGreaterThanOrEqual(0.5 / 107.53);
    }
  });

  it('swings in a plane, whichever part is fitted, and its lag and lean in the plane are near those outside it', () => {
    const [used, ...others] = value.swingPlanes;
    expect(others).toHaveLength(2);
    // Common practice, no source: full swings with an iron or wood lie between about 45 and 70 deg.
    for (const { inclination_deg, direction_deg } of value.swingPlanes) {
      expect(inclination_deg).toBeGreaterThan(45);
      expect(inclination_deg).toBeLessThan(70);
      expect(Math.abs(inclination_deg - used!.inclination_deg)).toBeLessThan(3);
      expect(Math.abs(direction_deg)).toBeLessThan(10);
    }
    // The nearer to impact, the flatter the path lies in its plane.
    const residual = (from: string) => value.swingPlanes.find((p) => p.from === from)!.residual_mm;
    expect(residual('delivery')).toBeLessThan(residual('lead arm parallel'));
    expect(residual('lead arm parallel')).toBeLessThan(residual('top'));
    const { quantities, perInstant, swing } = value;
    const [inPlane, inTarget] = [quantities.shaft_lean_plane_impact_deg!, swing.shaft_lean_impact_deg!];
    expect(Math.abs(inPlane)).toBeLessThan(Math.abs(inTarget));
    expect(Math.abs(perInstant.top!.lag_plane_deg! - perInstant.top!.lag_deg!)).toBeLessThan(5);
    for (const [key, number] of Object.entries(quantities)) expect(Number.isFinite(number), key).toBe(true);
    // A club that shrinks by 13 cm leaves its plane better known than its lean.
    expect(quantities.swing_plane_inclination_deg_sd!).toBeLessThan(
      quantities.shaft_lean_plane_impact_deg_sd!,
    );
    expect(value.processing.segmentDefinitions.thoraxTurn).toBe('line across two landmarks');
  });

  it('says what is wrong with the file: its header, and a club that shrinks by 13 cm near impact', () => {
    const text = value.warnings.join('\n');
    expect(text).toMatch(/POINT:FRAMES states 515 frames; 514 were read/);
    expect(text).toMatch(/grip to club_head should stay .* changes by -13/);
    // Shaft lean cannot be known to a degree from such a club, and must not claim to be.
    expect(value.swing.shaft_lean_impact_deg_sd!).toBeGreaterThan(5);
    // Nor its speed to a hundredth: a length short by a sixth means a speed short by about as much.
    expect(value.swing.club_speed_mps_sd!).toBeGreaterThan(1);
  });

  /** The file with one axis of every point turned round, in place. */
  const mirrored = (): Uint8Array => {
    const copy = bytes.slice();
    const view = new DataView(copy.buffer);
    const [points, analog] = [29, 8];
    for (let frame = 0; frame < 514; frame++)
      for (let p = 0; p < points; p++) {
        const at = 6 * 512 + (frame * (points * 4 + analog) + p * 4 + 1) * 4;
        view.setFloat32(at, -view.getFloat32(at, true), true);
      }
    return copy;
  };

  const expectSame = (other: Measurement): void => {
    for (const [column, number] of Object.entries(value.swing)) {
      if (number === null) expect(other.swing[column]).toBeNull();
      else expect(Math.abs(other.swing[column]! - number)).toBeLessThan(1e-9);
    }
    for (const [key, number] of Object.entries(value.quantities))
      expect(Math.abs(other.quantities[key]! - number!), key).toBeLessThan(1e-9);
    for (const name of INSTANT_NAMES) {
      expect(Math.abs(other.instants[name]! - value.instants[name]!)).toBeLessThan(1e-9);
      for (const [key, number] of Object.entries(value.perInstant[name]!)) {
        const there = (other.perInstant[name] as Readonly<Record<string, number | null>>)[key]!;
        if (number === null) expect(there).toBeNull();
        else expect(Math.abs(there - number)).toBeLessThan(1e-9);
      }
    }
  };

  it('gives the same numbers when mirrored and declared left-handed', () => {
    expectSame(measure(mirrored(), { ...layout, plays: 'left' }));
  });

  it('gives the same numbers when sides are named left and right, for either hand', () => {
    const sides = (lead: string, trail: string) =>
      Object.fromEntries(
        Object.entries(layout.landmarks as Record<string, string>).map(([name, channel]) => [
          name.replace('lead_', lead).replace('trail_', trail),
          channel,
        ]),
      );
    expectSame(measure(bytes, { ...layout, landmarks: sides('left_', 'right_') }));
    expectSame(measure(mirrored(), { ...layout, plays: 'left', landmarks: sides('right_', 'left_') }));
  });

  it('is refused when mirrored but still declared right-handed', () => {
    const result = measureCapture({ c3dBytes: mirrored(), layout });
    expect(result.ok).toBe(false);
    if (!result.ok) expect(result.problems[0]!.where).toBe('layout /plays');
  });

  it('is refused when cut short, with the byte at which it ends', () => {
    const result = measureCapture({ c3dBytes: bytes.subarray(0, 100000), layout });
    expect(result).toMatchObject({ ok: false, problems: [{ where: 'capture byte 100000' }] });
  });
});
