import { describe, expect, it } from 'vitest';
import { type Measurement, measureCapture } from '../../../src/kinematics/index.ts';
import {
  type CaptureSettings,
  CLEAN_CAPTURE,
  captureFile,
  captureSwing,
  layoutOf,
  type SimulatedCapture,
} from '../../../src/synthetic/captures/index.ts';
import { someSwings } from './some-swings.ts';

interface Measured {
  readonly capture: SimulatedCapture;
  readonly measurement: Measurement;
}

function measureAll(count: number, settings: CaptureSettings, columnsOnly: boolean): Measured[] {
  return someSwings(count).map((swing) => {
    const capture = captureSwing(swing, settings, 7);
    if ('fault' in capture) throw new Error(`${swing.swing_id}: ${capture.fault}`);
    const measured = measureCapture({
      c3dBytes: captureFile(capture, settings),
      layout: layoutOf(settings.lab, swing.plays, settings.noise_mm),
      options: { columnsOnly },
    });
    if (!measured.ok) throw new Error(`${swing.swing_id}: ${JSON.stringify(measured.problems)}`);
    return { capture, measurement: measured.value };
  });
}

/**
 * Columns whose stated SD is too small here, with the largest root mean square of (recovered - true) / SD that is let pass. Hands: a
 * filter at 20 Hz takes a little off a peak. Downswing: the club leaves the top more briskly than it came, which moves the
 * filtered top by half a millisecond. Elbow: in these swings it straightens ever faster up to impact, and the metric
 * leaves out the last 10 ms, where a slope is all noise.
 */
const TOO_SMALL: Readonly<Record<string, number>> = {
  hand_speed_peak_mps: 2.2,
  downswing_ms: 3.2,
  elbow_extension_speed_peak_dps: Number.POSITIVE_INFINITY,
};

describe('simulated captures with 1 mm of noise', () => {
  it('60 of them: recovered less true is as large as the stated SD says', () => {
    const standardised = new Map<string, number[]>();
    for (const { capture, measurement } of measureAll(60, { ...CLEAN_CAPTURE, noise_mm: 1 }, true))
      for (const [column, truth] of Object.entries(capture.truth.metrics)) {
        const [value, sd] = [measurement.swing[column], measurement.swing[`${column}_sd`]];
        if (truth === null || value == null || sd == null) continue;
        const list = standardised.get(column) ?? [];
        standardised.set(column, [...list, (value - truth) / sd]);
      }
    expect([...standardised.keys()]).toHaveLength(22);
    for (const [column, z] of standardised) {
      expect(z.length, column).toBeGreaterThanOrEqual(57);
      const rms = Math.sqrt(z.reduce((sum, v) => sum + v * v, 0) / z.length);
      // The root mean square of 60 standard normals lies within 0.73 to 1.27 in all but 1 of 300 draws. These elbows only straighten:
      // a recoil of 0 is recovered exactly.
      if (column !== 'elbow_recoil_deg') expect(rms, column).toBeGreaterThan(0.7);
      expect(rms, column).toBeLessThan(TOO_SMALL[column] ?? 1.35);
    }
  });

  it('planted gaps and exchanged labels are found and named, frame for frame', () => {
    const settings: CaptureSettings = {
      ...CLEAN_CAPTURE,
      noise_mm: 1,
      gaps: { mean: 1.5, length_ms: 40 },
      swaps: { share: 1, length_ms: 120 },
    };
    let gaps = 0;
    for (const { capture, measurement } of measureAll(24, settings, false)) {
      const { repairs, gaps: found } = measurement.processing;
      for (const { landmark, from, to } of capture.planted.gaps) {
        gaps++;
        expect(found.some((gap) => gap.landmark === landmark && gap.from <= from && gap.to >= to)).toBe(true);
        expect(measurement.warnings.some((warning) => warning.includes(`frames of ${landmark} `))).toBe(true);
      }
      const [swap] = capture.planted.swaps;
      const exchanged = repairs.filter((repair) => repair.found === 'exchanged markers');
      expect(exchanged).toHaveLength(1);
      expect(exchanged[0]).toMatchObject({ from: swap!.from, to: swap!.to, done: 'put right' });
      expect([...exchanged[0]!.landmarks].sort()).toEqual([...swap!.landmarks].sort());
      expect(measurement.warnings.join(' ')).toMatch(/are exchanged in frame/);
    }
    expect(gaps).toBeGreaterThan(20);
  });

  it('each planted fault hangs on a stream of its own: switching one off leaves the rest as they were', () => {
    const [swing] = someSwings(1);
    const noisy: CaptureSettings = { ...CLEAN_CAPTURE, noise_mm: 1 };
    const of = (settings: CaptureSettings): SimulatedCapture => {
      const capture = captureSwing(swing!, settings, 4);
      if ('fault' in capture) throw new Error(capture.fault);
      return capture;
    };
    const plain = of(noisy).coordinates;
    const gappy = of({ ...noisy, gaps: { mean: 3, length_ms: 50 } });
    expect(gappy.planted.gaps.length).toBeGreaterThan(0);
    expect(
      [...gappy.coordinates.keys()].every((i) => {
        const value = gappy.coordinates[i]!;
        return Number.isNaN(value) || value === plain[i];
      }),
    ).toBe(true);
    const sliding = of({ ...noisy, wobble_mm: 4 }).coordinates;
    const slides = Float64Array.from(sliding, (v, i) => v - plain[i]!);
    const rms = Math.sqrt(slides.reduce((sum, v) => sum + v * v, 0) / slides.length);
    // Eight joints and six stuck-on markers of eighteen slide: 4 mm times the root of 14/18, within what one draw scatters.
    expect(rms).toBeGreaterThan(2.4);
    expect(rms).toBeLessThan(5);
  });
});
