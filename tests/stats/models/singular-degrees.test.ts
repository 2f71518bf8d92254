/** Degrees of freedom at a boundary: as lmerTest has them (resampling/reference.R), with the warning that they need. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { fitModel, type Model } from '../../../src/stats/index.ts';
import { MODELS, readColumns, relative } from './golden.ts';

const reference = JSON.parse(readFileSync(`${MODELS}resampling/reference.json`, 'utf8'));
const data = readColumns(`${MODELS}resampling/singular.csv`);

function degrees(effects: readonly string[], method: 'satterthwaite' | 'kenward-roger') {
  const model: Model = {
    outcome: 'y',
    fixed: ['intercept', { column: 'x' }],
    random: [{ group: 'g', effects: effects as ('intercept' | 'x')[] }],
    inference: { degreesOfFreedom: method },
  };
  const outcome = fitModel(model, data);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  const { fixed, diagnosis } = outcome.fit.result;
  return { values: fixed.map(({ degreesOfFreedom }) => degreesOfFreedom!), diagnosis };
}

describe.each([
  ['a variance of zero', ['intercept'], reference.singular_intercept_df],
  ['a correlation of minus one', ['intercept', 'x'], reference.singular_slope_df],
] as const)('%s', (_, effects, expected) => {
  it('has the degrees of freedom of the reference under satterthwaite, and says that they may be too large', () => {
    const { values, diagnosis } = degrees(effects, 'satterthwaite');
    values.forEach((value, i) => {
      expect(relative(value, expected[i])).toBeLessThan(1e-5);
    });
    expect(diagnosis.boundary).toHaveLength(1);
    expect(diagnosis.notes.some((note) => note.startsWith("Satterthwaite's degrees of freedom take"))).toBe(
      true,
    );
  });

  it('has fewer under kenward-roger, and no warning', () => {
    const { values, diagnosis } = degrees(effects, 'kenward-roger');
    values.forEach((value, i) => {
      expect(value).toBeLessThan(expected[i]);
    });
    expect(diagnosis.notes).toEqual([]);
  });
});
