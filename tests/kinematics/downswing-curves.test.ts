import { describe, expect, it } from 'vitest';
import { measureCapture } from '../../src/kinematics/index.ts';
import { swingFile, swingLayout } from '../bench/swing-file.ts';

describe('curves over the downswing', () => {
  const measured = measureCapture({
    c3dBytes: swingFile({ seconds: 2, seed: 3 }),
    fileName: 'swing.c3d',
    layout: swingLayout,
    options: { curves: true },
  });
  if (!measured.ok) throw new Error(JSON.stringify(measured.problems));
  const { curves, swing, instants } = measured.value;
  if (curves == null) throw new Error('no curves');
  const at = (quantity: string, pct: number) => {
    const values = curves.values[quantity]!;
    const k = Math.min(99, Math.floor(pct));
    return values[k]! + (pct - k) * (values[k + 1]! - values[k]!);
  };

  it('pass through the numbers that are read at instants', () => {
    // Both come from the same filtered positions, by other ways: spline of the angle, and angle of the positions' polynomial.
    expect(at('trail_elbow_flexion', 0)).toBeCloseTo(swing.trail_elbow_flexion_top_deg!, 1);
    expect(at('trail_elbow_flexion', curves.instants_pct['lead arm parallel']!)).toBeCloseTo(
      swing.trail_elbow_flexion_arm_parallel_deg!,
      1,
    );
    expect(at('lag_angle', 0)).toBeCloseTo(swing.lag_top_deg!, 1);
    expect(Math.abs(at('lag_angle', curves.instants_pct.delivery!) - swing.lag_delivery_deg!)).toBeLessThan(
      0.3,
    );
    // At impact the number comes from unfiltered samples, the curve from filtered ones.
    expect(Math.abs(at('lag_angle', 100) - swing.lag_impact_deg!)).toBeLessThan(4);
  });

  it('have instants where the capture has them', () => {
    const whole = instants.top!;
    for (const name of ['lead arm parallel', 'delivery'] as const)
      expect(curves.instants_pct[name]).toBeCloseTo(100 * (1 - instants[name]! / whole), 2);
    expect(curves.values.lag_angle).toHaveLength(101);
  });

  it('are given only where they are asked for', () => {
    const plain = measureCapture({
      c3dBytes: swingFile({ seconds: 2, seed: 3 }),
      fileName: 'swing.c3d',
      layout: swingLayout,
    });
    expect(plain.ok && 'curves' in plain.value).toBe(false);
  });
});
