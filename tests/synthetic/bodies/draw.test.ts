import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { createStream } from '../../../src/numerics/index.ts';
import {
  bodyOfBuild,
  drawGolfer,
  drawSession,
  drawSwing,
  type GolferDistributions,
  MECHANICAL_COLUMNS,
  mechanicalSwing,
  REFERENCE_HEIGHT_M,
  SIMULATED_GOLFERS,
} from '../../../src/synthetic/bodies/index.ts';
import { bodyProblems, SKILLED_BODY, SKILLED_TIMINGS } from '../../../src/synthetic/mechanics/index.ts';

const golfer = drawGolfer(SIMULATED_GOLFERS, 1, createStream(3, 'golfer'));
const still = drawSession(SIMULATED_GOLFERS, golfer, createStream(3, 'day'));

describe('bodyOfBuild', () => {
  it('is the reference body at its size, and keeps every segment possible in another', () => {
    expect(bodyOfBuild({ arms: 1, girdle: 1, mass: 1 })).toEqual(SKILLED_BODY);
    const small = bodyOfBuild({ arms: 0.9, girdle: 0.88, mass: 0.75 });
    expect(bodyProblems(small)).toEqual([]);
    // Drillis and Contini: upper arm 0.186 of the height, forearm and half a hand 0.200 of it.
    expect(small.trailArm.upperArm_m).toBeCloseTo(0.186 * 0.9 * REFERENCE_HEIGHT_M, 3);
    expect(small.trailArm.elbowToGrip_m).toBeCloseTo(0.2 * 0.9 * REFERENCE_HEIGHT_M, 3);
    // Inertia goes with mass times length squared: the radius of gyration stays the same share of the length.
    const gyration = ({ inertia_kg_m2, mass_kg, length_m }: typeof small.leadArm): number =>
      Math.sqrt(inertia_kg_m2 / mass_kg) / length_m;
    expect(gyration(small.leadArm)).toBeCloseTo(gyration(SKILLED_BODY.leadArm), 12);
    expect(small.club).toEqual(SKILLED_BODY.club);
  });
});

describe('drawGolfer', () => {
  it('draws the same golfer from the same stream, and others from others', () => {
    expect(drawGolfer(SIMULATED_GOLFERS, 1, createStream(3, 'golfer'))).toEqual(golfer);
    expect(drawGolfer(SIMULATED_GOLFERS, 1, createStream(4, 'golfer')).height_m).not.toBe(golfer.height_m);
  });

  it('plants the bend at the top that was drawn: without any other variation it is the mean', () => {
    const only = without(SIMULATED_GOLFERS);
    const plain = drawGolfer(only, 1, createStream(5));
    const day = drawSession(only, plain, createStream(6));
    const swing = mechanicalSwing(drawSwing(only, plain, day, 1e6, createStream(7)), 27);
    if ('fault' in swing) throw new Error(swing.fault.found);
    expect(swing.values.trail_elbow_flexion_top_deg!).toBeCloseTo(only.elbowAtTop_deg.mean.skilled, 2);
    expect(swing.values.attack_angle_deg!).toBeCloseTo(only.attackAngle_deg.mean.skilled, 2);
  });

  it('lets a weaker golfer of the same build swing more slowly, by the square root of the strength', () => {
    const at = (strength: number) => {
      const only = without(SIMULATED_GOLFERS);
      return drawGolfer(
        { ...only, strength: { mean: { skilled: strength, lessSkilled: strength }, sd: only.strength.sd } },
        1,
        createStream(5),
      );
    };
    expect(at(0.5).tempo / at(1).tempo).toBeCloseTo(Math.SQRT2, 10);
  });

  it('says so when no draw makes a golfer', () => {
    const folded = { mean: { skilled: 178, lessSkilled: 178 }, sd: { skilled: 0, lessSkilled: 0 } };
    expect(() => drawGolfer({ ...SIMULATED_GOLFERS, elbowAtTop_deg: folded }, 1, createStream(1))).toThrow(
      /drawGolfer: 100 draws at skill 1 made no golfer .*narrow the distributions/,
    );
  });
});

describe('drawSwing', () => {
  const strengthAt = (order: number): number => {
    let sum = 0;
    for (let k = 0; k < 400; k++) {
      const { timings } = drawSwing(SIMULATED_GOLFERS, golfer, still, order, createStream(8, order, k));
      sum += timings.trunk[0]!.size_Nm / golfer.timings.trunk[0]!.size_Nm / 400;
    }
    return sum / (1 + still.strength);
  };

  it('is weak while cold and when tired, as the course of a session says', () => {
    const { coldLoss, warmUpSwings } = SIMULATED_GOLFERS.course;
    // Standard error of a mean of 400 at an SD of 0.025: 0.00125.
    expect(Math.abs(strengthAt(0) - (1 - coldLoss))).toBeLessThan(0.005);
    const cold = 1 - coldLoss * Math.exp(-30 / warmUpSwings);
    expect(Math.abs(strengthAt(30) - cold * (1 - 0.3 * golfer.tiring))).toBeLessThan(0.005);
    expect(Math.abs(strengthAt(200) - (1 - 2 * golfer.tiring))).toBeLessThan(0.005);
  });

  it('is less steady while cold', () => {
    const spread = (order: number): number => {
      const onsets = Array.from({ length: 400 }, (_, k) => {
        const swing = drawSwing(SIMULATED_GOLFERS, golfer, still, order, createStream(9, order, k));
        return 1000 * swing.timings.shoulder[0]!.onset_s;
      });
      const mean = onsets.reduce((sum, x) => sum + x, 0) / 400;
      return Math.sqrt(onsets.reduce((sum, x) => sum + (x - mean) ** 2, 0) / 399) / golfer.tempo;
    };
    const warm = SIMULATED_GOLFERS.between.swings.onset_ms.shoulder.skilled;
    // The standard error of an SD from 400 is 3.5 %.
    expect(Math.abs(spread(1000) / warm - 1)).toBeLessThan(0.12);
    expect(Math.abs(spread(0) / warm - 1 - SIMULATED_GOLFERS.course.coldUnsteady)).toBeLessThan(0.18);
  });
});

describe('mechanicalSwing', () => {
  it('has columns of the catalogue only, in the units of their names, and keeps the definitions that tie them', () => {
    const catalogue = JSON.parse(
      readFileSync(new URL('../../../data-schemas/metrics.json', import.meta.url), 'utf8'),
    ) as { metrics: { column: string; plausible: [number, number] }[] };
    const swing = mechanicalSwing({ body: SKILLED_BODY, timings: SKILLED_TIMINGS }, 27);
    if ('fault' in swing) throw new Error(swing.fault.found);
    const { values: v } = swing;
    expect(Object.keys(v)).toEqual([...MECHANICAL_COLUMNS]);
    for (const column of MECHANICAL_COLUMNS) {
      const [least, most] = catalogue.metrics.find((metric) => metric.column === column)!.plausible;
      expect(v[column]!, column).toBeGreaterThanOrEqual(least);
      expect(v[column]!, column).toBeLessThanOrEqual(most);
    }
    expect(v.trail_elbow_flexion_peak_deg! - v.trail_elbow_flexion_top_deg!).toBeCloseTo(
      v.elbow_recoil_deg!,
      10,
    );
    expect(v.release_timing_pct!).toBeCloseTo(100 * (1 - v.release_onset_ms! / v.downswing_ms!), 10);
    expect(v.dynamic_loft_deg!).toBe(27 - v.shaft_lean_impact_deg!);
  });

  it('gives back why there is no swing', () => {
    const weak = { ...SKILLED_TIMINGS, trunk: [{ ...SKILLED_TIMINGS.trunk[0]!, onset_s: -1 }] };
    expect(mechanicalSwing({ body: SKILLED_BODY, timings: weak }, 27)).toMatchObject({
      fault: { kind: 'impossible-timings', problems: [{ where: 'timings.trunk[0]' }] },
    });
  });
});

/** The same means without any spread, and a session without a course. */
function without(from: GolferDistributions): GolferDistributions {
  const still = (value: unknown, key = ''): unknown => {
    if (typeof value === 'number') return key === 'sd' ? 0 : value;
    return Object.fromEntries(
      Object.entries(value as object).map(([name, inner]) => [
        name,
        still(inner, key === 'sd' ? 'sd' : name),
      ]),
    );
  };
  const zero = (value: unknown): unknown =>
    typeof value === 'number'
      ? 0
      : Object.fromEntries(Object.entries(value as object).map(([k, v]) => [k, zero(v)]));
  const plain = still(from) as GolferDistributions;
  return {
    ...plain,
    proportions: 0,
    build: 0,
    between: zero(from.between) as GolferDistributions['between'],
    course: {
      ...from.course,
      coldLoss: 0,
      coldUnsteady: 0,
      tiring: { mean: 0, sd: 0 },
      tiredWrist_ms: { mean: 0, sd: 0 },
    },
  };
}
