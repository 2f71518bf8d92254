import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { fitSums, type Model, planSums } from '../../../src/stats/index.ts';

// The published check value from sums alone (tests/reference/mediation/school.R; Raudenbush and Bryk 2002).
const school = JSON.parse(
  readFileSync(new URL('../../reference/mediation/school.json', import.meta.url), 'utf8'),
) as Record<'schools' | 'pupils' | 'ses' | 'math' | 'ses2' | 'sesmath' | 'math2', number[]> & {
  randomIntercept: [number, number][];
};

it('finds 2.1912 (0.10867) within and 5.8662 (0.3617) between schools, from 160 rows of sums', () => {
  const model: Model = {
    outcome: 'math',
    fixed: ['intercept', { column: 'ses', within: 'school' }, { column: 'ses', between: 'school' }],
    random: [{ group: 'school', effects: ['intercept'] }],
    inference: { degreesOfFreedom: 'kenward-roger' },
  };
  const planned = planSums(model);
  if (!planned.ok) throw new Error('the plan of sums');
  const { plan } = planned;
  // Which sum is which: powers of ses (centred at 0) and of math (centred at 12).
  const bySum = plan.sums.map((powers) => {
    const [ses, math] = [powers[0] ?? 0, powers[1] ?? 0];
    const known: Record<string, number[] | undefined> = {
      '1,0': school.ses,
      '0,1': school.math,
      '2,0': school.ses2,
      '1,1': school.sesmath,
      '0,2': school.math2,
    };
    return known[`${ses},${math}`];
  });
  const n = school.pupils.length;
  const table: Record<string, (string | number | null)[]> = {
    key_1: school.schools.map(String),
    left_out: Array<number>(n).fill(0),
    row_count: school.pupils,
    centre_1: Array<number>(n).fill(0),
    centre_2: Array<number>(n).fill(12),
  };
  bySum.forEach((sums, k) => {
    if (sums !== undefined) table[`sum_${k}`] = sums;
  });
  const fitted = fitSums(plan, table);
  if (!fitted.ok) throw new Error(JSON.stringify(fitted.problems));
  const [, within, between] = fitted.fit.result.fixed;
  expect(within!.estimate).toBeCloseTo(2.1912, 4);
  expect(within!.standardError).toBeCloseTo(0.10867, 5);
  expect(between!.estimate).toBeCloseTo(5.8662, 4);
  expect(between!.standardError).toBeCloseTo(0.3617, 4);
});
