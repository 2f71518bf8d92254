import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { createStream } from '../../../src/numerics/index.ts';
import {
  curveScores,
  curvesFrom,
  expectedStretches,
  randomFieldP,
  randomFieldThreshold,
  smoothness,
  tField,
} from '../../../src/stats/index.ts';

interface Simulated {
  readonly nodes: number;
  readonly fields: number;
  readonly cases: readonly {
    readonly fwhmNodes: number;
    readonly degreesOfFreedom: number | null;
    readonly continuous95: readonly [number, number, number];
    readonly nodes95: readonly [number, number, number];
    readonly continuous99: readonly [number, number, number];
  }[];
}

/** 40,000 fields in each case by numpy; the script stands beside it. */
const simulated: Simulated = JSON.parse(
  readFileSync(new URL('../../reference/waveform/simulated-fields.json', import.meta.url), 'utf8'),
);
const WIDTH = Math.sqrt(4 * Math.LN2);
/** A t field of so many degrees of freedom is a Gaussian one to ten digits. */
const GAUSSIAN = 1e12;

describe('random field theory', () => {
  it.each(simulated.cases)(
    'gives the thresholds that simulation gives: FWHM $fwhmNodes nodes, df $degreesOfFreedom',
    ({ fwhmNodes, degreesOfFreedom, continuous95, continuous99 }) => {
      const field = {
        degreesOfFreedom: degreesOfFreedom ?? GAUSSIAN,
        length: ((simulated.nodes - 1) * WIDTH) / fwhmNodes,
      };
      // The expected number of stretches bounds the probability from above, so the threshold may be a trifle high, never low.
      for (const [level, [, low, high]] of [
        [0.95, continuous95],
        [0.99, continuous99],
      ] as const) {
        const { value, by } = randomFieldThreshold(field, simulated.nodes, level);
        expect(by).toBe('smoothness');
        expect(value).toBeGreaterThan(low);
        expect(value).toBeLessThan(high * 1.01);
      }
    },
  );

  it('follows the formula, worked out by hand', () => {
    // v = 3, u = 3: (1 + 9/3)^-1 = 1/4; length 2 pi makes the second term 1/4; P(T3 > 3) = 1/2 - atan(sqrt 3)/pi - sqrt 3/(4 pi).
    const tail = 0.5 - Math.atan(Math.sqrt(3)) / Math.PI - Math.sqrt(3) / (4 * Math.PI);
    expect(expectedStretches({ degreesOfFreedom: 3, length: 2 * Math.PI }, 3)).toBeCloseTo(tail + 0.25, 13);
    // Worsley et al. 1996: EC density in one dimension, per resel, sqrt(4 ln 2) / 2 pi (1 + u^2/v)^-(v-1)/2; v = 1 leaves the factor alone.
    expect(
      expectedStretches({ degreesOfFreedom: 1, length: WIDTH }, 1) -
        expectedStretches({ degreesOfFreedom: 1, length: 0 }, 1),
    ).toBeCloseTo(0.26501, 6);
    // Gaussian: sqrt(4 ln 2) / 2 pi exp(-u^2 / 2) per resel.
    expect(
      expectedStretches({ degreesOfFreedom: GAUSSIAN, length: 10 * WIDTH }, 3) -
        expectedStretches({ degreesOfFreedom: GAUSSIAN, length: 0 }, 3),
    ).toBeCloseTo(10 * 0.26501 * Math.exp(-4.5), 6);
  });

  it('is a single t test where the curve is constant, and Bonferroni where it is rough', () => {
    const point = randomFieldThreshold({ degreesOfFreedom: 10, length: 0 }, 1, 0.95);
    // Two-sided 5 % point of t with 10 degrees of freedom, as in any table.
    expect(point.value).toBeCloseTo(2.228139, 6);
    const rough = randomFieldThreshold({ degreesOfFreedom: 10, length: 1e4 }, 50, 0.95);
    expect(rough.by).toBe('nodes');
    // 0.05 / 50 two-sided: t(0.9995; 10) = 4.5869 in tables.
    expect(rough.value).toBeCloseTo(4.5869, 4);
    expect(randomFieldP({ degreesOfFreedom: 10, length: 1e4 }, 0)).toBe(1);
    expect(() => randomFieldThreshold({ degreesOfFreedom: 10, length: 1 }, 50, 95)).toThrow(/0.95/);
  });
});

describe('smoothness', () => {
  it.each([
    [5, 30],
    [8, 12],
    [30, 20],
  ])('is unbiased with %i rows at FWHM %i nodes', (rows, fwhm) => {
    const stream = createStream(4, 'smoothness', rows, fwhm);
    const draw = gaussianFields(fwhm, 101);
    const runs = Array.from({ length: 400 }, () => {
      const curves = curvesFrom(Array.from({ length: rows }, () => draw(() => stream.normal())));
      return smoothness(tField(curveScores(curves, { kind: 'one-sample' })), rows).length;
    });
    const mean = runs.reduce((sum, value) => sum + value, 0) / runs.length;
    const error = Math.sqrt(runs.reduce((sum, value) => sum + (value - mean) ** 2, 0)) / runs.length;
    expect(Math.abs(mean - (100 * WIDTH) / fwhm)).toBeLessThan(3.5 * error + 0.002 * mean);
  });

  it('is in nodes, resels and length alike, and infinite where residuals keep their shape', () => {
    const field = tField(
      curveScores(
        curvesFrom([
          [1, 1, 1],
          [2, 2, 2],
          [4, 4, 4],
        ]),
        { kind: 'one-sample' },
      ),
    );
    const { length, resels, fwhmNodes } = smoothness(field, 3);
    expect([length, resels, fwhmNodes]).toEqual([0, 0, Number.POSITIVE_INFINITY]);
  });
});

/** White noise on a fine grid under a Gaussian kernel: another way to the same fields than by eigenvectors. */
function gaussianFields(fwhm: number, nodes: number): (normal: () => number) => number[] {
  const sd = fwhm / Math.sqrt(8 * Math.LN2);
  const reach = Math.ceil(5 * sd);
  const kernel = Array.from({ length: 2 * reach + 1 }, (_, i) =>
    Math.exp(-((i - reach) ** 2) / (2 * sd * sd)),
  );
  const norm = Math.sqrt(kernel.reduce((sum, k) => sum + k * k, 0));
  return (normal) => {
    const noise = Array.from({ length: nodes + 2 * reach }, normal);
    return Array.from({ length: nodes }, (_, q) =>
      kernel.reduce((sum, k, i) => sum + (k / norm) * noise[q + i]!, 0),
    );
  };
}
