import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { residualAnalysis } from '../../src/kinematics/cleaning/residual-analysis.ts';
import { type Layout, measureTrial, type Track } from '../../src/kinematics/index.ts';
import { createStream } from '../../src/numerics/index.ts';
import { plantSwing } from './planted-swing.ts';
import { PLAIN_LAYOUT, recordSwing } from './record-swing.ts';

const RATE_HZ = 240;
const FRAMES = 1200;

/** A motion of one frequency in x, y and z, with white noise. */
function motion(amplitude: number, frequencyHz: number, noise: number, seed = 1): Track {
  const stream = createStream(seed);
  const along = (phase: number): Float64Array =>
    Float64Array.from(
      { length: FRAMES },
      (_, i) =>
        amplitude * Math.sin((2 * Math.PI * frequencyHz * i) / RATE_HZ + phase) + stream.normal(0, noise),
    );
  return { x: along(0), y: along(2), z: along(4) };
}

/**
 * The residual of such a motion from theory alone: what two passes of a second-order Butterworth (bilinear, pre-warped,
 * designed so that both have their cut-off at fc) take away of a sine, and of white noise, whose power is spread evenly.
 */
function expectedResidual(amplitude: number, frequencyHz: number, noise: number, cutoffHz: number): number {
  const warped = (f: number): number => Math.tan((Math.PI * f) / RATE_HZ);
  const taken = (f: number): number => {
    const gain = 1 / (1 + (Math.SQRT2 - 1) * (warped(f) / warped(cutoffHz)) ** 4);
    return (1 - gain) ** 2;
  };
  let white = 0;
  const steps = 4000;
  for (let k = 0; k < steps; k++) white += taken(((k + 0.5) / steps) * (RATE_HZ / 2)) / steps;
  return Math.sqrt((amplitude ** 2 / 2) * taken(frequencyHz) + noise ** 2 * white);
}

/** The lowest whole Hz at which the theoretical residual has fallen to the noise. */
function expectedCutoff(amplitude: number, frequencyHz: number, noise: number): number {
  for (let f = 1; f < RATE_HZ / 5; f++)
    if (expectedResidual(amplitude, frequencyHz, noise, f) <= noise) return f;
  return RATE_HZ / 5;
}

describe('the cut-off by residual analysis', () => {
  it.each([
    [0.2, 2, 0.001],
    [0.05, 3, 0.001],
    [0.3, 5, 0.002],
    [0.1, 6, 0.0005],
  ])('of %f m at %f Hz with %f m of noise is where theory puts it', (amplitude, frequency, noise) => {
    const found = residualAnalysis(motion(amplitude, frequency, noise), RATE_HZ, null)!;
    const theory = expectedCutoff(amplitude, frequency, noise);
    expect(theory).toBeGreaterThan(frequency);
    expect(Math.abs(found.cutoffHz - theory)).toBeLessThanOrEqual(1);
    expect(Math.abs(found.noise_m / noise - 1)).toBeLessThan(0.05);
  });

  it('finds the noise of white noise alone, and then cuts as low as it may', () => {
    const found = residualAnalysis(motion(0, 1, 0.001), RATE_HZ, null)!;
    expect(Math.abs(found.noise_m / 0.001 - 1)).toBeLessThan(0.03);
    expect(found.cutoffHz).toBe(4);
  });

  it('rises with the frequency of the motion and falls with its noise', () => {
    const cutoff = (frequency: number, noise: number): number =>
      residualAnalysis(motion(0.1, frequency, noise), RATE_HZ, null)!.cutoffHz;
    expect(cutoff(6, 0.001)).toBeGreaterThan(cutoff(3, 0.001));
    expect(cutoff(4, 0.0002)).toBeGreaterThan(cutoff(4, 0.005));
  });

  it('does not depend on the axes', () => {
    const { x, y, z } = motion(0.1, 4, 0.001);
    const turned = (angle: number): Track => ({
      x: x.map((v, i) => v * Math.cos(angle) - z[i]! * Math.sin(angle) + 3),
      y: y.map((v) => -v),
      z: z.map((v, i) => v * Math.cos(angle) + x[i]! * Math.sin(angle)),
    });
    const plain = residualAnalysis({ x, y, z }, RATE_HZ, null)!;
    fc.assert(
      fc.property(fc.double({ min: 0, max: 6, noNaN: true }), (angle) => {
        const found = residualAnalysis(turned(angle), RATE_HZ, null)!;
        expect(found.cutoffHz).toBe(plain.cutoffHz);
        expect(found.noise_m).toBeCloseTo(plain.noise_m, 12);
      }),
      { numRuns: 10 },
    );
  });

  it('says nothing of a marker that was hardly seen, and survives one that never moves or has gaps', () => {
    const none = new Float64Array(FRAMES).fill(Number.NaN);
    expect(residualAnalysis({ x: none, y: none, z: none }, RATE_HZ, null)).toBeNull();
    const short = new Float64Array(20);
    expect(residualAnalysis({ x: short, y: short, z: short }, RATE_HZ, null)).toBeNull();
    const still = new Float64Array(FRAMES).fill(1.25);
    expect(residualAnalysis({ x: still, y: still, z: still }, RATE_HZ, null)!.noise_m).toBeLessThan(1e-12);
    const gapped = motion(0.1, 4, 0.001);
    for (const axis of [gapped.x, gapped.y, gapped.z]) axis.fill(Number.NaN, 300, 390);
    const found = residualAnalysis(gapped, RATE_HZ, 700)!;
    expect(Math.abs(found.cutoffHz - expectedCutoff(0.1, 4, 0.001))).toBeLessThanOrEqual(1);
  });
});

describe('measuring with cut-offs by residual analysis', () => {
  it('says so in the record, marker by marker, and warns of what it costs', () => {
    const { named } = recordSwing(plantSwing(), { rateHz: RATE_HZ, noise_m: 0.001 });
    const measure = (layout: Layout) => {
      const result = measureTrial(named, layout, 1);
      if (!result.ok) throw new Error('refused');
      return result.value;
    };
    const { processing, warnings } = measure({
      ...PLAIN_LAYOUT,
      processing: { cutoff: 'by residual analysis' },
    });
    expect(processing.filter.cutoff).toBe('by residual analysis');
    for (const [name, filter] of Object.entries(processing.filter.landmarks)) {
      expect(filter!.cutoffHz, name).toBeGreaterThanOrEqual(4);
      expect(filter!.onePassCutoffHz).toBeGreaterThan(filter!.cutoffHz);
      expect(Math.abs(filter!.residualNoise_mm! - 1), name).toBeLessThan(0.15);
    }
    expect(warnings.join()).toMatch(/peaks of speed .* come out too small/);
    const usual = measure(PLAIN_LAYOUT);
    expect(usual.processing.filter.cutoff).toBe('default');
    expect(usual.processing.filter.landmarks.trail_elbow!.cutoffHz).toBe(20);
    expect(usual.processing.filter.landmarks.club_head!.cutoffHz).toBe(40);
    expect(usual.warnings).toEqual([]);
  });
});
