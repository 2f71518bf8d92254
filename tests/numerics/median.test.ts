import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { median, medianInPlace } from '../../src/numerics/index.ts';

/** By its definition: the middle of the values in order. */
function byDefinition(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
}

describe('median', () => {
  it('is the middle of the values in order, ties and runs in order among them', () => {
    fc.assert(
      fc.property(
        fc.array(fc.oneof(fc.integer({ min: -3, max: 3 }), fc.double({ noNaN: true, min: -1e9, max: 1e9 })), {
          minLength: 1,
          maxLength: 60,
        }),
        fc.boolean(),
        (drawn, inOrder) => {
          const values = inOrder ? [...drawn].sort((a, b) => a - b) : drawn;
          expect(median(values)! + 0).toBe(byDefinition(values) + 0);
        },
      ),
    );
  });

  it('leaves the values as they are, or moves them about and keeps them all', () => {
    const values = Float64Array.of(5, 1, 4, 1, 3);
    expect(median(values)).toBe(3);
    expect([...values]).toEqual([5, 1, 4, 1, 3]);
    expect(medianInPlace(values)).toBe(3);
    expect([...values].sort((a, b) => a - b)).toEqual([1, 1, 3, 4, 5]);
  });

  it('is null where there is none', () => {
    expect(median([])).toBeNull();
    expect(medianInPlace(new Float64Array(0))).toBeNull();
  });
});
