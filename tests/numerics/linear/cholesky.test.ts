import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  choleskyInPlace,
  inverseOfPositiveDefinite,
  logDeterminantOfFactor,
  solveLower,
  solveLowerTransposed,
} from '../../../src/numerics/index.ts';

/** B B' + I is positive definite whatever B is. */
const positiveDefinite = fc.integer({ min: 1, max: 6 }).chain((n) =>
  fc.array(fc.double({ min: -5, max: 5, noNaN: true }), { minLength: n * n, maxLength: n * n }).map((b) => {
    const a = new Float64Array(n * n);
    for (let i = 0; i < n; i++)
      for (let j = 0; j < n; j++) {
        a[i * n + j] = i === j ? 1 : 0;
        for (let k = 0; k < n; k++) a[i * n + j]! += b[i * n + k]! * b[j * n + k]!;
      }
    return { n, a };
  }),
);

describe('choleskyInPlace', () => {
  it('worked example: [[4, 2], [2, 5]] = L L with L = [[2, 0], [1, 2]], determinant 16', () => {
    const a = Float64Array.of(4, 2, 2, 5);
    expect(choleskyInPlace(a, 2)).toBe(true);
    expect(Array.from(a)).toEqual([2, 2, 1, 2]);
    expect(logDeterminantOfFactor(a, 2)).toBeCloseTo(Math.log(16), 14);
  });

  it('multiplies back, inverts and solves', () => {
    fc.assert(
      fc.property(positiveDefinite, ({ n, a }) => {
        const l = Float64Array.from(a);
        expect(choleskyInPlace(l, n)).toBe(true);
        const inverse = inverseOfPositiveDefinite(a, n)!;
        const b = Float64Array.from({ length: n }, (_, i) => i + 1);
        const x = Float64Array.from(b);
        solveLower(l, n, x);
        solveLowerTransposed(l, n, x);
        for (let i = 0; i < n; i++) {
          let back = 0;
          for (let j = 0; j < n; j++) {
            back += a[i * n + j]! * x[j]!;
            let product = 0;
            let unit = 0;
            for (let k = 0; k <= Math.min(i, j); k++) product += l[i * n + k]! * l[j * n + k]!;
            for (let k = 0; k < n; k++) unit += a[i * n + k]! * inverse[k * n + j]!;
            expect(product).toBeCloseTo(a[i * n + j]!, 9);
            expect(unit).toBeCloseTo(i === j ? 1 : 0, 8);
          }
          expect(back).toBeCloseTo(b[i]!, 8);
        }
      }),
      { seed: 7 },
    );
  });

  it('says no to what is not positive definite, and to NaN', () => {
    expect(choleskyInPlace(Float64Array.of(1, 2, 2, 1), 2)).toBe(false);
    expect(choleskyInPlace(Float64Array.of(0), 1)).toBe(false);
    expect(choleskyInPlace(Float64Array.of(Number.NaN), 1)).toBe(false);
    expect(inverseOfPositiveDefinite(Float64Array.of(1, 1, 1, 1), 2)).toBeNull();
  });
});
