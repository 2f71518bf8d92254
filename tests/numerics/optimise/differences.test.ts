/** Differences against derivatives known in closed form, and minima known by construction. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { centralDifferences, minimiseByDifferences, slopeAlong } from '../../../src/numerics/index.ts';

describe('central differences', () => {
  // f = exp(x) sin(y) + z^2 x: every derivative in closed form.
  const f = ([x, y, z]: Float64Array) => ({ value: Math.exp(x!) * Math.sin(y!) + z! * z! * x! });
  const at = Float64Array.of(0.3, -0.7, 1.2);
  const [e, s, c] = [Math.exp(0.3), Math.sin(-0.7), Math.cos(-0.7)];
  const gradient = [e * s + 1.44, e * c, 2 * 1.2 * 0.3];
  const hessian = [e * s, e * c, 2.4, e * c, -e * s, 0, 2.4, 0, 0.6];
  it.each([
    ['sixth', 0.02, 1e-11, 1e-9],
    ['second', 1e-4, 1e-8, 1e-6],
  ] as const)('of %s order', (order, step, slopeError, bendError) => {
    const found = centralDifferences(f, at, step, order);
    gradient.forEach((value, i) => {
      expect(Math.abs(found.gradient[i]! - value)).toBeLessThan(slopeError);
    });
    hessian.forEach((value, i) => {
      expect(Math.abs(found.hessian[i]! - value)).toBeLessThan(bendError);
    });
    expect(found.value).toBe(f(at).value);
  });
  it('a slope is exact for polynomials of the sixth degree', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: -5, max: 5 }), { minLength: 7, maxLength: 7 }), (weights) => {
        const p = (t: number) => weights.reduce((sum, w, k) => sum + w * t ** k, 0);
        const values = [-3, -2, -1, 1, 2, 3].map((offset) => p(offset * 0.5));
        expect(slopeAlong(values, 0.5)).toBeCloseTo(weights[1]!, 9);
      }),
    );
  });
  it('does not change the point it is given', () => {
    centralDifferences(f, at);
    expect([...at]).toEqual([0.3, -0.7, 1.2]);
  });
});

describe('minimising by differences', () => {
  it('a curved valley: Rosenbrock (1960), Computer Journal 3, 175-184, has its minimum 0 at (1, 1)', () => {
    const { at, converged, differences } = minimiseByDifferences(
      ([x, y]) => ({ value: 100 * (y! - x! * x!) ** 2 + (1 - x!) ** 2 }),
      Float64Array.of(-1.2, 1),
    );
    expect(converged).toBe(true);
    expect(at[0]).toBeCloseTo(1, 8);
    expect(at[1]).toBeCloseTo(1, 8);
    expect(differences.value).toBeLessThan(1e-15);
  });
  it('shifted wells are found to nine digits', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -3, max: 3, noNaN: true }),
        fc.double({ min: -3, max: 3, noNaN: true }),
        (a, b) => {
          const { at, converged } = minimiseByDifferences(
            ([x, y]) => ({ value: Math.cosh(x! - a) + 2 * Math.cosh(y! - b) + 0.3 * (x! - a) * (y! - b) }),
            Float64Array.of(0, 0),
          );
          expect(converged).toBe(true);
          expect(Math.abs(at[0]! - a)).toBeLessThan(1e-9);
          expect(Math.abs(at[1]! - b)).toBeLessThan(1e-9);
        },
      ),
      { numRuns: 30 },
    );
  });
  it('a function without a minimum is not said to have converged', () => {
    const { converged } = minimiseByDifferences(([x]) => ({ value: Math.exp(-x!) }), Float64Array.of(0));
    expect(converged).toBe(false);
  });
});
