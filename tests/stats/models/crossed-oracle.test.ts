/**
 * A hundred random small designs of two or three groups that are crossed or partly crossed, against the same whole-matrix
 * formulas as the nested ones: missing cells, unbalanced, variances near zero, perfect correlations, wild scales.
 */
import { describe, expect, it } from 'vitest';
import { type FitResult, fitModel } from '../../../src/stats/index.ts';
import { checkAgainstDense } from './check-against-dense.ts';
import { randomCrossedDesign } from './random-designs.ts';

const designs = Array.from({ length: 100 }, (_, i) => randomCrossedDesign(i + 1));

describe('crossed designs: whole-matrix likelihood, no better point by search, adjusted as the formula says', () => {
  it.each(designs.map((design) => [design.name, design] as const))('%s', (_, design) => {
    checkAgainstDense(design);
  });
});

it('every awkward kind is among them, boundaries included', () => {
  const names = designs.map(({ name }) => name).join('; ');
  for (const kind of [
    'two crossed',
    'three crossed',
    'partly crossed',
    '2 full',
    '2 diagonal',
    ', ml',
    'wild scales',
  ])
    expect(names).toContain(kind);
  const results = designs.map((design): FitResult => {
    const outcome = fitModel(design.model, design.data);
    if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
    return outcome.fit.result;
  });
  const zero = results.filter(({ random }) => random.some(({ sd }) => sd.includes(0)));
  const perfect = results.filter(({ random }) =>
    random.some(({ correlation }) =>
      correlation.some((row, a) => row.some((r, b) => a !== b && Math.abs(r) === 1)),
    ),
  );
  expect(zero.length).toBeGreaterThan(5);
  expect(perfect.length).toBeGreaterThan(3);
});
