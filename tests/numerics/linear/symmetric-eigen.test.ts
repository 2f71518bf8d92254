import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { symmetricEigen } from '../../../src/numerics/index.ts';

describe('symmetricEigen', () => {
  it('the second-difference matrix: eigenvalues 2 - 2 cos(k pi / (n + 1)) (textbook closed form)', () => {
    const n = 7;
    const a = new Float64Array(n * n);
    for (let i = 0; i < n; i++) {
      a[i * n + i] = 2;
      if (i > 0) a[i * n + i - 1] = a[(i - 1) * n + i] = -1;
    }
    const { values } = symmetricEigen(a, n);
    for (let k = 1; k <= n; k++)
      expect(values[k - 1]).toBeCloseTo(2 - 2 * Math.cos((k * Math.PI) / (n + 1)), 13);
  });

  it('finds a tiny eigenvalue of a graded matrix to its own precision', () => {
    // det = 1e-12 (1 - 0.25), trace = 1 + 1e-12: the smaller root is 0.75e-12 (1 - 0.25e-12 ...).
    const { values } = symmetricEigen(Float64Array.of(1, 0.5e-6, 0.5e-6, 1e-12), 2);
    expect(values[0]! / 0.75e-12).toBeCloseTo(1, 11);
  });

  it('vectors are orthonormal and put the matrix together again', () => {
    const matrix = fc.integer({ min: 1, max: 6 }).chain((n) =>
      fc
        .array(fc.double({ min: -100, max: 100, noNaN: true }), { minLength: n * n, maxLength: n * n })
        .map((b) => ({
          n,
          a: Float64Array.from(b, (_, at) => b[at]! + b[(at % n) * n + Math.floor(at / n)]!),
        })),
    );
    fc.assert(
      fc.property(matrix, ({ n, a }) => {
        const { values, vectors } = symmetricEigen(a, n);
        for (let k = 1; k < n; k++) expect(values[k]!).toBeGreaterThanOrEqual(values[k - 1]!);
        for (let i = 0; i < n; i++)
          for (let j = 0; j < n; j++) {
            let whole = 0;
            let unit = 0;
            for (let k = 0; k < n; k++) {
              whole += values[k]! * vectors[i * n + k]! * vectors[j * n + k]!;
              unit += vectors[k * n + i]! * vectors[k * n + j]!;
            }
            expect(whole).toBeCloseTo(a[i * n + j]!, 9);
            expect(unit).toBeCloseTo(i === j ? 1 : 0, 11);
          }
      }),
      { seed: 7 },
    );
  });

  it('refuses what is not finite', () => {
    expect(() => symmetricEigen(Float64Array.of(Number.NaN), 1)).toThrow('symmetricEigen');
  });
});
