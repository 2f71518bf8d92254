import { describe, expect, it } from 'vitest';
import { minimiseInTrustRegion, type SecondOrder } from '../../../src/numerics/index.ts';

/** Rosenbrock (1960), Computer Journal 3, 175-184: the minimum is 0 at (1, 1), at the end of a curved valley. */
function valley(x: Float64Array): SecondOrder {
  const [a, b] = [x[0]!, x[1]!];
  return {
    value: 100 * (b - a * a) ** 2 + (1 - a) ** 2,
    gradient: Float64Array.of(-400 * a * (b - a * a) - 2 * (1 - a), 200 * (b - a * a)),
    hessian: Float64Array.of(1200 * a * a - 400 * b + 2, -400 * a, -400 * a, 200),
  };
}

describe('minimiseInTrustRegion', () => {
  it('follows a curved valley to its end', () => {
    const found = minimiseInTrustRegion(valley, Float64Array.of(-1.2, 1));
    expect(found.converged).toBe(true);
    expect(found.at[0]).toBeCloseTo(1, 10);
    expect(found.at[1]).toBeCloseTo(1, 10);
    expect(found.evaluations).toBeLessThan(50);
  });

  it('leaves a saddle point although the gradient there is zero', () => {
    // f = x^4 / 4 - x^2 / 2 + y^2: a saddle at the origin, minima of -1/4 at (-1, 0) and (1, 0).
    const saddle = (x: Float64Array): SecondOrder => ({
      value: x[0]! ** 4 / 4 - x[0]! ** 2 / 2 + x[1]! ** 2,
      gradient: Float64Array.of(x[0]! ** 3 - x[0]!, 2 * x[1]!),
      hessian: Float64Array.of(3 * x[0]! ** 2 - 1, 0, 0, 2),
    });
    const found = minimiseInTrustRegion(saddle, Float64Array.of(0, 0));
    expect(found.converged).toBe(true);
    expect(Math.abs(found.at[0]!)).toBeCloseTo(1, 10);
    expect(found.value).toBeCloseTo(-0.25, 12);
  });

  it('a quadratic takes one step once the ball is wide enough', () => {
    const bowl = (x: Float64Array): SecondOrder => ({
      value: (x[0]! - 0.5) ** 2,
      gradient: Float64Array.of(2 * (x[0]! - 0.5)),
      hessian: Float64Array.of(2),
    });
    const found = minimiseInTrustRegion(bowl, Float64Array.of(0));
    expect(found.at[0]).toBeCloseTo(0.5, 14);
    expect(found.evaluations).toBe(2);
  });

  it('treats a value that is not finite as a step too far', () => {
    // f = x - log x is not defined left of zero; its minimum is 1 at x = 1.
    const barrier = (x: Float64Array): SecondOrder => ({
      value: x[0]! - Math.log(x[0]!),
      gradient: Float64Array.of(1 - 1 / x[0]!),
      hessian: Float64Array.of(1 / x[0]! ** 2),
    });
    const found = minimiseInTrustRegion(barrier, Float64Array.of(5));
    expect(found.converged).toBe(true);
    expect(found.at[0]).toBeCloseTo(1, 10);
  });

  it('says when it did not arrive, and refuses a start that has no value', () => {
    expect(minimiseInTrustRegion(valley, Float64Array.of(-1.2, 1), 3).converged).toBe(false);
    const nowhere = (): SecondOrder => ({
      value: Number.NaN,
      gradient: new Float64Array(1),
      hessian: new Float64Array(1),
    });
    expect(() => minimiseInTrustRegion(nowhere, new Float64Array(1))).toThrow('finite at the start');
  });
});
