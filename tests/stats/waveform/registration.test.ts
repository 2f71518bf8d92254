import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ownTime, windowsOf } from '../../../src/stats/index.ts';

describe('registration', () => {
  it('lays instants on one another and goes on beyond the ends', () => {
    expect(ownTime([0, 50, 100], [0, 60, 100], 25)).toBe(30);
    expect(ownTime([0, 50, 100], [0, 60, 100], 75)).toBe(80);
    expect(ownTime([0, 50, 100], [0, 60, 100], 50)).toBe(60);
    expect(ownTime([0, 50, 100], [0, 60, 100], 110)).toBeCloseTo(108, 12);
    expect(ownTime([0, 50, 100], [0, 60, 100], -10)).toBeCloseTo(-12, 12);
  });

  it('rises, maps instants on instants, and is undone by the registration the other way', () => {
    const times = fc
      .uniqueArray(fc.integer({ min: 1, max: 99 }), { minLength: 2, maxLength: 2 })
      .map((inner) => [0, ...inner.sort((a, b) => a - b), 100]);
    fc.assert(
      fc.property(times, times, fc.double({ min: 0, max: 100, noNaN: true }), (common, own, at) => {
        common.forEach((time, k) => {
          expect(ownTime(common, own, time)).toBeCloseTo(own[k]!, 9);
        });
        expect(ownTime(own, common, ownTime(common, own, at))).toBeCloseTo(at, 8);
        expect(ownTime(common, own, at + 0.5)).toBeGreaterThan(ownTime(common, own, at));
      }),
    );
  });

  it('names what is wrong with instants', () => {
    expect(() => ownTime([0, 100], [0, 50, 100], 1)).toThrow(/both axes/);
    expect(() => ownTime([0], [0], 1)).toThrow(/two or more/);
    expect(() => ownTime([0, 50, 100], [0, 100, 60], 1)).toThrow(/rise/);
  });
});

describe('windows', () => {
  it('are stretches of one sign', () => {
    const signs = [0, 1, 1, -1, 0, 0, -1, -1, 1];
    expect(windowsOf(9, (q) => signs[q]!)).toEqual([
      { from: 1, to: 2, sign: 1 },
      { from: 3, to: 3, sign: -1 },
      { from: 6, to: 7, sign: -1 },
      { from: 8, to: 8, sign: 1 },
    ]);
    expect(windowsOf(3, () => 0)).toEqual([]);
    expect(windowsOf(3, () => 1)).toEqual([{ from: 0, to: 2, sign: 1 }]);
  });
});
