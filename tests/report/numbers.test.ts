import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  decimalsFor,
  formatChange,
  formatCount,
  formatInterval,
  formatLevel,
  formatNumber,
  formatQuantity,
  unitSuffix,
} from '../../src/report/numbers.ts';

describe('numbers for people (expected by hand)', () => {
  it('uses a real minus sign, and none on a value that rounds to zero', () => {
    expect(formatNumber(-3.24159, 1)).toBe('\u22123.2');
    expect(formatNumber(-0.04, 1)).toBe('0.0');
    expect(formatNumber(-0, 2)).toBe('0.00');
  });
  it('shows a dash for what is not a number', () => {
    for (const value of [null, undefined, Number.NaN, Number.POSITIVE_INFINITY])
      expect(formatNumber(value)).toBe('–');
  });
  it('groups long numbers and leaves four figures alone', () => {
    expect(formatNumber(1391, 0)).toBe('1391');
    expect(formatNumber(1234567, 0)).toBe('1\u202f234\u202f567');
    expect(formatNumber(12345.6789, 4)).toBe('12\u202f345.6789');
  });
  it('marks a rise with a plus, but not a zero', () => {
    expect(formatChange(2.25, 1)).toBe('+2.3');
    expect(formatChange(0.01, 1)).toBe('0.0');
    expect(formatChange(-2, 0)).toBe('\u22122');
  });
  it('gives two figures of the uncertainty', () => {
    expect([31, 3.1, 0.31, 0.031].map((half) => decimalsFor(half))).toEqual([0, 1, 2, 3]);
    expect(decimalsFor(null)).toBe(1);
    expect(decimalsFor(1e-9)).toBe(4);
  });
  it('writes units as people do', () => {
    expect(formatQuantity(6.2, 'deg')).toBe('6.2°');
    expect(formatQuantity(12, 'ms', 0)).toBe('12\u00a0ms');
    expect(unitSuffix('deg/s')).toBe('°/s');
    expect(unitSuffix('deg per 100 repetitions')).toBe('° per\u00a0100 repetitions');
    expect(unitSuffix('ratio')).toBe('');
  });
  it('writes intervals, whole, half open and missing', () => {
    expect(formatInterval([-1.25, 3], 'deg', 1)).toBe('\u22121.3 to +3.0°');
    expect(formatInterval([null, 3], 'cm', 0, false)).toBe('up to 3\u00a0cm');
    expect(formatInterval([2, null], 'cm', 0)).toBe('+2\u00a0cm or more');
    expect(formatInterval([null, null], 'cm')).toBe('–');
    expect(formatLevel(0.95)).toBe('95%');
    expect(formatLevel(0.999)).toBe('99.9%');
    expect(formatCount(1, 'golfer')).toBe('1 golfer');
  });
  it('reads back to the value within half a unit of the last place', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -9e8, max: 9e8, noNaN: true }),
        fc.integer({ min: 0, max: 4 }),
        (value, decimals) => {
          fc.pre(Math.abs(value) >= 1e-6);
          const text = formatNumber(value, decimals).replaceAll('\u202f', '').replace('\u2212', '-');
          expect(Math.abs(Number(text) - value)).toBeLessThanOrEqual(
            0.5 * 10 ** -decimals * (1 + 1e-9) + 1e-7,
          );
        },
      ),
    );
  });
});
