import { integrateLine } from './integrate-line.ts';

/**
 * The integral of a positive function from 0 to `length`, by the double exponential change of variable, whose
 * points crowd towards both ends: a function that is steep or peaked at an end keeps its digits.
 * Source: Takahasi and Mori (1974), Publications RIMS Kyoto 9, 721-741.
 *
 * @param f positive on (0, length)
 * @example integrateInterval((x) => 1 / Math.sqrt(x), 4) // 4
 */
export function integrateInterval(f: (x: number) => number, length: number): number {
  return integrateLine(
    (t) => {
      const inner = Math.PI * Math.sinh(t);
      // x = length / (1 + e^-inner); the weight is dx / dt.
      const share = 1 / (1 + Math.exp(-inner));
      const rest = 1 / (1 + Math.exp(inner));
      const weight = length * share * rest * Math.PI * Math.cosh(t);
      return weight > 0 ? weight * f(length * share) : 0;
    },
    0,
    1,
  );
}
