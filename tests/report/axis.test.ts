import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { linearAxis, niceTicks } from '../../src/report/axis.ts';

const finite = fc.double({ min: -1e6, max: 1e6, noNaN: true });

describe('niceTicks', () => {
  it('gives round numbers (expected by hand)', () => {
    expect(niceTicks(-3.4, 9.1, 5).values).toEqual([-2, 0, 2, 4, 6, 8]);
    expect(niceTicks(0, 1, 5)).toEqual({ values: [0, 0.2, 0.4, 0.6, 0.8, 1], decimals: 1 });
    expect(niceTicks(71.2, 71.8, 5).values).toEqual([71.2, 71.3, 71.4, 71.5, 71.6, 71.7, 71.8]);
  });
  it('stays within the range, in even steps of 1, 2 or 5, about as many as asked', () => {
    fc.assert(
      fc.property(
        finite,
        fc.double({ min: 1e-3, max: 1e6, noNaN: true }),
        fc.integer({ min: 3, max: 9 }),
        (low, span, target) => {
          const high = low + span;
          const { values } = niceTicks(low, high, target);
          expect(values.length).toBeGreaterThanOrEqual(1);
          expect(values.length).toBeLessThanOrEqual(2 * target + 1);
          const slack = (high - low) * 1e-6;
          for (const value of values) {
            expect(value).toBeGreaterThanOrEqual(low - slack);
            expect(value).toBeLessThanOrEqual(high + slack);
          }
          if (values.length < 2) return;
          const step = (values[1] as number) - (values[0] as number);
          const lead = step / 10 ** Math.floor(Math.log10(step) + 1e-6);
          expect([1, 2, 5].some((good) => Math.abs(lead - good) < 1e-3 * good)).toBe(true);
        },
      ),
    );
  });
});

describe('linearAxis', () => {
  it('covers every value, with a label for each tick', () => {
    fc.assert(
      fc.property(fc.array(fc.option(finite), { maxLength: 30 }), (values) => {
        const { range, tickvals, ticktext } = linearAxis(values);
        expect(range[1]).toBeGreaterThan(range[0]);
        for (const value of values) {
          if (value === null) continue;
          expect(value).toBeGreaterThanOrEqual(range[0]);
          expect(value).toBeLessThanOrEqual(range[1]);
        }
        expect(ticktext).toHaveLength(tickvals.length);
      }),
    );
  });
  it('copes with nothing, one value and equal values', () => {
    expect(linearAxis([]).range[1]).toBeGreaterThan(linearAxis([]).range[0]);
    expect(linearAxis([5, 5]).range[0]).toBeLessThan(5);
    expect(linearAxis([0]).range).toEqual([-1.1, 1.1]);
  });
});
