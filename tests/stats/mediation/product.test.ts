import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createStream, normalLower } from '../../../src/numerics/index.ts';
import {
  monteCarloProduct,
  productInterval,
  productLower,
  productQuantile,
  type TwoNormals,
} from '../../../src/stats/index.ts';

// Made by tests/reference/mediation/product.py (scipy; version in the file).
const reference = JSON.parse(
  readFileSync(new URL('../../reference/mediation/product.json', import.meta.url), 'utf8'),
) as {
  cases: (TwoNormals & { quantiles: Record<string, number> })[];
  standard: [number, number][];
};

describe('the product of two estimates', () => {
  it('gives the published worked example of thirst and water', () => {
    // MacKinnon, Fairchild and Fritz 2007, Annu Rev Psychol 58:593-614 (coefficients from memory); the interval of the
    // product integrated apart from us (reference/literature.json).
    const found = productInterval({ a: 0.339, sdA: 0.122, b: 0.451, sdB: 0.146 });
    expect(found.product).toBeCloseTo(0.1529, 4);
    expect(found.standardError).toBeCloseTo(0.074, 4);
    expect(found.secondOrder).toBeCloseTo(0.0761, 4);
    expect(found.product / found.standardError).toBeCloseTo(2.066, 3);
    expect(found.normal[0]).toBeCloseTo(0.0078, 4);
    expect(found.normal[1]).toBeCloseTo(0.2979, 4);
    expect(found.interval[0]).toBeCloseTo(0.0297, 4);
    expect(found.interval[1]).toBeCloseTo(0.3244, 4);
  });

  it.each(reference.cases)(
    'agrees with adaptive quadrature at a = $a, b = $b, correlation $correlation',
    (normals) => {
      for (const [probability, value] of Object.entries(normals.quantiles))
        expect(Math.abs(productQuantile(Number(probability), normals) - value)).toBeLessThan(1e-10);
    },
  );

  it('has the closed form of two standard normals (density K0)', () => {
    for (const [q, probability] of reference.standard) {
      expect(productLower(q, { a: 0, sdA: 1, b: 0, sdB: 1 })).toBeCloseTo(probability, 11);
      expect(productLower(-q, { a: 0, sdA: 1, b: 0, sdB: 1 })).toBeCloseTo(1 - probability, 11);
    }
  });

  it('turns over with the sign of one factor, and does not care which is first', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -3, max: 3, noNaN: true }),
        fc.double({ min: -3, max: 3, noNaN: true }),
        fc.double({ min: 0.05, max: 2, noNaN: true }),
        fc.double({ min: -4, max: 4, noNaN: true }),
        (a, b, sd, q) => {
          const one = productLower(q, { a, sdA: sd, b, sdB: 0.7 });
          expect(productLower(q, { a: b, sdA: 0.7, b: a, sdB: sd })).toBeCloseTo(one, 8);
          expect(productLower(-q, { a: -a, sdA: sd, b, sdB: 0.7 })).toBeCloseTo(1 - one, 8);
        },
      ),
      { numRuns: 40 },
    );
  });

  it('gives the chance of a product below zero from the signs of its factors', () => {
    // P(AB <= 0) = P(A <= 0) P(B >= 0) + P(A >= 0) P(B <= 0) for independent factors.
    for (let k = 1; k <= 200; k++) {
      const [a, sdA, b, sdB] = [-1.5 + k / 77, 0.05 + k / 130, 1 - k / 90, 0.7];
      const [lowA, lowB] = [normalLower(-a / sdA), normalLower(-b / sdB)];
      expect(productLower(0, { a, sdA, b, sdB })).toBeCloseTo(lowA * (1 - lowB) + (1 - lowA) * lowB, 9);
    }
  });

  it('is close to the drawn product of the same two', () => {
    const drawn = monteCarloProduct(
      [
        { estimate: 0.339, standardError: 0.122 },
        { estimate: 0.451, standardError: 0.146 },
      ],
      { draws: 40_000, stream: createStream(4) },
    );
    expect(Math.abs(drawn.interval[0] - 0.0297)).toBeLessThan(0.003);
    expect(Math.abs(drawn.interval[1] - 0.3244)).toBeLessThan(0.004);
    expect(drawn.standardError).toBeCloseTo(0.0761, 2);
  });

  it('refuses what means nothing', () => {
    expect(() => productInterval({ a: 1, sdA: 0, b: 1, sdB: 1 })).toThrow(/above zero/);
    expect(() => productLower(0, { a: 1, sdA: 1, b: 1, sdB: 1, correlation: 1 })).toThrow(/between -1 and 1/);
    expect(() => productQuantile(1, { a: 1, sdA: 1, b: 1, sdB: 1 })).toThrow(/0..1/);
    expect(() => monteCarloProduct([], { draws: 200, stream: createStream(1) })).toThrow(/at least one/);
  });
});
