/**
 * A hundred random small nested designs against whole-matrix formulas written in these tests (dense-oracle.ts):
 * unbalanced groups, missing cells, one to three levels, several effects, variances near zero, perfect
 * correlations, columns on wild scales. A hundred crossed ones stand in crossed-oracle.test.ts.
 */
import { describe, expect, it } from 'vitest';
import { checkAgainstDense } from './check-against-dense.ts';
import { randomDesign } from './random-designs.ts';

const designs = Array.from({ length: 100 }, (_, i) => randomDesign(i + 1));

describe('nested designs: whole-matrix likelihood, no better point by search, adjusted as the formula says', () => {
  it.each(designs.map((design) => [design.name, design] as const))('%s', (_, design) => {
    checkAgainstDense(design);
  });
});

it('every awkward kind is among them', () => {
  const names = designs.map(({ name }) => name).join('; ');
  for (const kind of ['1 level,', '2 levels', '3 levels', '3 full', '2 diagonal', ', ml', 'wild scales'])
    expect(names).toContain(kind);
});
