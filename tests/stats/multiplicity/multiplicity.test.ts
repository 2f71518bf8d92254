import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { benjaminiHochberg, holm } from '../../../src/stats/index.ts';

/** The fifteen p-values of the thrombolysis trial in Benjamini and Hochberg (1995), section 4. */
const PUBLISHED = [
  0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459, 0.324, 0.4262, 0.5719, 0.6528,
  0.759, 1,
];

describe('adjusted p-values', () => {
  it('the published example: four findings by false discovery rate, three by Holm', () => {
    expect(benjaminiHochberg(PUBLISHED).filter((p) => p <= 0.05)).toHaveLength(4);
    expect(holm(PUBLISHED).filter((p) => p <= 0.05)).toHaveLength(3);
  });
  it('by hand, in any order, NaN left as it is', () => {
    const near = (found: readonly number[], expected: readonly number[]) =>
      found.forEach((p, i) => {
        if (Number.isNaN(expected[i]!)) expect(p).toBeNaN();
        else expect(p).toBeCloseTo(expected[i]!, 12);
      });
    near(holm([0.04, Number.NaN, 0.01, 0.03]), [0.06, Number.NaN, 0.03, 0.06]);
    near(benjaminiHochberg([0.04, Number.NaN, 0.01, 0.03]), [0.04, Number.NaN, 0.03, 0.04]);
    expect(holm([])).toEqual([]);
  });
  it('never below the p-value, never above 1, in the same order; Benjamini-Hochberg never above Holm', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 1, maxLength: 30 }),
        (p) => {
          const h = holm(p);
          const b = benjaminiHochberg(p);
          p.forEach((value, i) => {
            expect(b[i]!).toBeGreaterThanOrEqual(value * (1 - 1e-12));
            expect(h[i]!).toBeGreaterThanOrEqual(b[i]! * (1 - 1e-12));
            expect(h[i]!).toBeLessThanOrEqual(1);
            p.forEach((other, j) => {
              if (value < other) {
                expect(h[i]!).toBeLessThanOrEqual(h[j]!);
                expect(b[i]!).toBeLessThanOrEqual(b[j]!);
              }
            });
          });
        },
      ),
      { numRuns: 50, seed: 7 },
    );
  });
  it('misuse', () => {
    expect(() => holm([1.2])).toThrow(/holm: p-values lie in \[0, 1\]; found 1.2/);
    expect(() => benjaminiHochberg([-0.1])).toThrow(/benjaminiHochberg/);
  });
});
