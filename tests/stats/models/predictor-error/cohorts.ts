import type { Stream } from '../../../../src/numerics/index.ts';
import type { Model } from '../../../../src/stats/index.ts';

/** What the cohorts hold: slopes on the true predictor inside and between groups, and on a column without error. */
export const TRUTH = { within: 0.8, between: 0.3, z: 0.5 };

export interface Cohort {
  readonly y: number[];
  readonly x: number[];
  readonly z: number[];
  readonly g: string[];
  /** Measurement SD of each row's x, between 0.5 and 1 where the true SD inside groups is 1. */
  readonly e: number[];
}

/** A cohort whose predictor's measurement SD differs from row to row and which hangs together with z. */
export function cohort(stream: Stream, groups: number, size: number): Cohort {
  const out: Cohort = { y: [], x: [], z: [], g: [], e: [] };
  for (let g = 0; g < groups; g++) {
    const level = 20 + 1.2 * stream.normal();
    const own = 0.8 * stream.normal();
    const z = Array.from({ length: size }, () => stream.normal());
    const truth = z.map((value) => level + 0.4 * value + stream.normal());
    const mean = truth.reduce((sum, value) => sum + value, 0) / size;
    truth.forEach((xi, i) => {
      const sd = 0.5 + 0.5 * stream.uniform();
      out.e.push(sd);
      out.x.push(xi + sd * stream.normal());
      out.z.push(z[i]!);
      out.g.push(`g${g}`);
      out.y.push(
        5 +
          TRUTH.within * (xi - mean) +
          TRUTH.between * (mean - 20) +
          TRUTH.z * z[i]! +
          own +
          stream.normal(),
      );
    });
  }
  return out;
}

export const splitModel: Model = {
  outcome: 'y',
  fixed: ['intercept', { column: 'z' }, { column: 'x', within: 'g' }, { column: 'x', between: 'g' }],
  random: [{ group: 'g', effects: ['intercept'] }],
};
