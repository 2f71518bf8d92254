import { describe, expect, it } from 'vitest';
import { minimiseQuasiNewton } from '../../../src/numerics/index.ts';

const unit = (n: number): Float64Array =>
  Float64Array.from({ length: n * n }, (_, i) => (i % (n + 1) === 0 ? 1 : 0));

describe('minimiseQuasiNewton', () => {
  it("finds the bottom of Rosenbrock's valley at (1, 1)", () => {
    // Rosenbrock (1960), Computer Journal 3, 175-184.
    const found = minimiseQuasiNewton(
      (v) => {
        const [x, y] = [v[0]!, v[1]!];
        return {
          value: 100 * (y - x * x) ** 2 + (1 - x) ** 2,
          gradient: Float64Array.of(-400 * x * (y - x * x) - 2 * (1 - x), 200 * (y - x * x)),
        };
      },
      Float64Array.of(-1.2, 1),
      { inverseHessian: unit(2), tolerance: 1e-16 },
    );
    expect(found.converged).toBe(true);
    expect(found.at[0]!).toBeCloseTo(1, 6);
    expect(found.at[1]!).toBeCloseTo(1, 6);
    expect(found.evaluations).toBeLessThan(80);
  });

  it('a quadratic with its inverse Hessian takes one step', () => {
    const found = minimiseQuasiNewton(
      (x) => ({ value: (x[0]! - 2) ** 2, gradient: Float64Array.of(2 * (x[0]! - 2)) }),
      Float64Array.of(1),
      { inverseHessian: Float64Array.of(0.5) },
    );
    expect(found.at[0]).toBe(2);
    expect(found.evaluations).toBe(2);
  });

  it('backs away from where the function is not finite', () => {
    const found = minimiseQuasiNewton(
      (x) => ({
        value: x[0]! > 0 ? x[0]! - Math.log(x[0]!) : Number.POSITIVE_INFINITY,
        gradient: Float64Array.of(1 - 1 / x[0]!),
      }),
      Float64Array.of(5),
      { inverseHessian: Float64Array.of(50), longestStep: 100 },
    );
    expect(found.at[0]!).toBeCloseTo(1, 6);
  });

  it('says so when it was stopped early, and refuses a start without a value', () => {
    const bowl = (x: Float64Array) => ({
      value: Math.cosh(x[0]!),
      gradient: Float64Array.of(Math.sinh(x[0]!)),
    });
    expect(
      minimiseQuasiNewton(bowl, Float64Array.of(5), { inverseHessian: unit(1), maximumEvaluations: 3 })
        .converged,
    ).toBe(false);
    expect(() =>
      minimiseQuasiNewton(() => ({ value: Number.NaN, gradient: unit(1) }), Float64Array.of(0), {
        inverseHessian: unit(1),
      }),
    ).toThrow('minimiseQuasiNewton: the function must be finite at the start');
  });
});
