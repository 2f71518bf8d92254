import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { frameOf } from '../../../src/studies/mechanism/analysis/frame.ts';
import { mixedSlopes } from '../../../src/studies/mechanism/analysis/mixed-slopes.ts';
import type { MechanismSwing } from '../../../src/studies/mechanism/input/swings.ts';

/**
 * Slopes within and between 160 schools (High School and Beyond 1982; Raudenbush and Bryk 2002, Hierarchical Linear Models,
 * 2nd ed., the same data). The pupils are not kept here, only sums (tests/reference/mediation/school.R): each school is stood
 * in for by as many rows with the same sums, squares and products, which is all that a normal mixed model takes from them.
 */
const school = JSON.parse(
  readFileSync(new URL('../../reference/mediation/school.json', import.meta.url), 'utf8'),
) as {
  schools: string[];
  pupils: number[];
  ses: number[];
  math: number[];
  ses2: number[];
  sesmath: number[];
  math2: number[];
  randomIntercept: [number, number][];
  randomSlope: [number, number][];
};

function standIns(): MechanismSwing[] {
  return school.schools.flatMap((name, s) => {
    const n = school.pupils[s]!;
    const [meanX, meanY] = [school.ses[s]! / n, school.math[s]! / n];
    const xx = school.ses2[s]! - n * meanX ** 2;
    const xy = school.sesmath[s]! - n * meanX * meanY;
    const yy = school.math2[s]! - n * meanY ** 2;
    // Two patterns of mean 0 and length 1 at a right angle: row 1 against row 2, and both against row 3.
    const first = [1 / Math.SQRT2, -1 / Math.SQRT2, 0];
    const second = [1 / Math.sqrt(6), 1 / Math.sqrt(6), -2 / Math.sqrt(6)];
    const alpha = Math.sqrt(xx);
    const beta = xy / alpha;
    const gamma = Math.sqrt(Math.max(0, yy - beta ** 2));
    return Array.from({ length: n }, (_, k) => ({
      swing: `${name}-${k}`,
      session: name,
      golfer: name,
      phase: 'baseline' as const,
      device: null,
      order: null,
      club: null,
      intent: null,
      values: {
        ses: meanX + alpha * (first[k] ?? 0),
        math: 12 + meanY + beta * (first[k] ?? 0) + gamma * (second[k] ?? 0),
      },
      errors: {},
    }));
  });
}

describe('slopes within and between 160 schools', () => {
  const swings = standIns();
  const frame = frameOf(swings, ['ses', 'math']);
  const found = mixedSlopes({ frame, outcome: 'math', predictors: ['ses'], level: 0.95 })!;

  it('has the 7,185 pupils', () => {
    expect(swings).toHaveLength(7185);
    expect(frame.golfers).toBe(160);
  });

  it('agrees with lme4 with schools’ own slopes', () => {
    const [, within, between] = school.randomSlope;
    expect(found.within.ses!.value).toBeCloseTo(within![0], 4);
    expect(found.within.ses!.standardError).toBeCloseTo(within![1], 3);
    // Our means are about the mean of the schools' means; slopes do not depend on that.
    expect(found.between.ses!.value).toBeCloseTo(between![0], 3);
    expect(found.between.ses!.standardError).toBeCloseTo(between![1], 2);
    expect(found.slopeSd.ses).toBeCloseTo(0.82815, 3);
  });

  it('brackets the published 2.1912 (0.10867) within and 5.8662 (0.3617) between', () => {
    // With one slope for all schools, as published: the reference software on the same sums.
    const [, within, between] = school.randomIntercept;
    expect(within![0]).toBeCloseTo(2.1912, 4);
    expect(within![1]).toBeCloseTo(0.10867, 5);
    expect(between![0]).toBeCloseTo(5.8662, 4);
    expect(between![1]).toBeCloseTo(0.3617, 4);
    const [one] = [found.within.ses!.value - 2.1912];
    expect(Math.abs(one)).toBeLessThan(0.001);
  });
});
