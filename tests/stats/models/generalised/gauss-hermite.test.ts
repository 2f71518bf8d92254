import { describe, expect, it } from 'vitest';
import { gaussHermite } from '../../../../src/stats/models/generalised/gauss-hermite.ts';
import { logFactorial } from '../../../../src/stats/models/generalised/likelihood/log-factorial.ts';

describe('gaussHermite', () => {
  it('has the tabulated nodes and weights for five points', () => {
    // Abramowitz and Stegun (1964), Handbook of Mathematical Functions, table 25.10: x_i and w_i for the weight exp(-x^2).
    const x = [0, 0.95857246461381851, 2.0201828704560856];
    const w = [0.9453087204829419, 0.3936193231522412, 0.019953242059045913];
    const { nodes, weights } = gaussHermite(5);
    x.forEach((node, k) => {
      expect(nodes[2 + k]!).toBeCloseTo(Math.SQRT2 * node, 14);
      expect(nodes[2 - k]!).toBeCloseTo(-Math.SQRT2 * node, 14);
      expect(weights[2 + k]! / (w[k]! / Math.sqrt(Math.PI))).toBeCloseTo(1, 13);
    });
  });

  it.each([1, 2, 9, 25, 100])('with %i nodes gives the moments of the normal distribution', (points) => {
    const { nodes, weights } = gaussHermite(points);
    const even = [1, 1, 3, 15, 105, 945, 10395, 135135, 2027025, 34459425, 654729075];
    for (let power = 0; power <= Math.min(2 * points - 1, 20); power++) {
      const moment = power % 2 === 1 ? 0 : even[power / 2]!;
      const found = nodes.reduce((sum, z, k) => sum + weights[k]! * z ** power, 0);
      expect(Math.abs(found - moment)).toBeLessThan(1e-12 * even[Math.ceil(power / 2)]!);
    }
  });
});

it('logFactorial: 10! and 170! (OEIS A000142)', () => {
  expect(logFactorial(0)).toBe(0);
  expect(logFactorial(1)).toBe(0);
  expect(logFactorial(10)).toBeCloseTo(Math.log(3628800), 13);
  expect(logFactorial(170) / Math.log(7.257415615307994e306)).toBeCloseTo(1, 14);
});
