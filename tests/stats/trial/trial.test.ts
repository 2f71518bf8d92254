import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  expectedShiftAfterSelection,
  expectedShiftOfGroup,
  meanInterval,
  median,
  moments,
  prePostVarianceFactor,
  pureBetweenSd,
  ratioInterval,
  reliability,
  responseSpread,
  robustDistances,
  skewness,
  tippingShift,
  typicalErrorOfChanges,
  unequalSpreadDifference,
} from '../../../src/stats/trial/index.ts';

const reference = JSON.parse(
  readFileSync(new URL('../../reference/repeated/trial_moments.json', import.meta.url), 'utf8'),
) as {
  first: number[];
  second: number[];
  difference: number;
  degreesOfFreedom: number;
  interval: [number, number];
  skewed: number[];
  skewness: number;
  meanInterval90: [number, number];
};

describe('SD of individual responses', () => {
  // Check value: formula of Atkinson and Batterham 2015 and Hopkins 2015, numbers worked from it by hand:
  // variance 20, se sqrt(2 (1296/19 + 256/19)) = 12.7816, limits 20 -+ 25.0515.
  it('gives 4.472 with -2.25 to 6.71 for SDs 6 and 4 in 20 and 20', () => {
    const spread = responseSpread({ sdTreated: 6, nTreated: 20, sdControl: 4, nControl: 20 });
    expect(spread.sd).toBeCloseTo(4.472, 3);
    expect(spread.interval[0]).toBeCloseTo(-2.25, 2);
    expect(spread.interval[1]).toBeCloseTo(6.71, 2);
  });
  it('keeps a negative SD when the control varies more, mirror-wise', () => {
    const one = responseSpread({ sdTreated: 6, nTreated: 20, sdControl: 4, nControl: 20 });
    const other = responseSpread({ sdTreated: 4, nTreated: 20, sdControl: 6, nControl: 20 });
    expect(other.sd).toBeCloseTo(-one.sd, 12);
    expect(other.interval[0]).toBeCloseTo(-one.interval[1], 12);
  });
  it('does not care about noise that is alike in both groups, and takes out what differs', () => {
    const plain = responseSpread({ sdTreated: 5, nTreated: 9, sdControl: 3, nControl: 12 });
    const noisy = responseSpread({
      sdTreated: 5,
      nTreated: 9,
      sdControl: 3,
      nControl: 12,
      noiseTreated: 2,
      noiseControl: 2,
    });
    expect(noisy.sd).toBeCloseTo(plain.sd, 12);
    const uneven = responseSpread({ sdTreated: 5, nTreated: 9, sdControl: 3, nControl: 12, noiseTreated: 7 });
    expect(uneven.variance).toBeCloseTo(25 - 7 - 9, 12);
  });
  it('refuses a group of one', () => {
    expect(() => responseSpread({ sdTreated: 1, nTreated: 1, sdControl: 1, nControl: 5 })).toThrow(
      /responseSpread: needs at least 2/,
    );
  });
});

describe('regression to the mean', () => {
  // Check value from Barnett, van der Pols and Dobson 2005's formula: sigma_b 12, sigma_w 5, mean 90, above 103.
  it('is 2.933 for the worked values', () => {
    expect(-expectedShiftAfterSelection({ betweenSd: 12, withinSd: 5, mean: 90, cutoff: 103 })).toBeCloseTo(
      2.933,
      3,
    );
  });
  it('is the mirror image when the low ones are chosen', () => {
    const high = expectedShiftAfterSelection({ betweenSd: 12, withinSd: 5, mean: 90, cutoff: 103 });
    const low = expectedShiftAfterSelection({
      betweenSd: 12,
      withinSd: 5,
      mean: 90,
      cutoff: 77,
      side: 'below',
    });
    expect(low).toBeCloseTo(-high, 12);
  });
  it('grows less the more measurements are averaged, and is never backwards', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.1, max: 20, noNaN: true }),
        fc.double({ min: 0.1, max: 20, noNaN: true }),
        fc.double({ min: -10, max: 10, noNaN: true }),
        fc.integer({ min: 1, max: 10 }),
        (betweenSd, withinSd, cutoff, measurements) => {
          const base = { betweenSd, withinSd, mean: 0, cutoff, measurements };
          const shift = expectedShiftAfterSelection(base);
          const more = expectedShiftAfterSelection({ ...base, measurements: measurements + 1 });
          return shift <= 0 && Number.isFinite(shift) && more >= shift - 1e-12;
        },
      ),
    );
  });
  it('agrees with itself where the tail would underflow', () => {
    const at = (cutoff: number) =>
      expectedShiftAfterSelection({ betweenSd: 0.6, withinSd: 0.8, mean: 0, cutoff });
    // A selected value lies just above a far cut-off, so (1 - reliability) of it is lost: 0.64 x cutoff.
    expect(at(29.99) / (-0.64 * 29.99)).toBeCloseTo(1 + 1 / 29.99 ** 2, 5);
    expect(at(30.01) / (-0.64 * 30.01)).toBeCloseTo(1 + 1 / 30.01 ** 2, 5);
    expect(at(200)).toBeCloseTo(-128, 0);
  });
  it('of a group: a quarter of the distance at reliability 0.75', () => {
    expect(expectedShiftOfGroup(10, 8, 0.75)).toBe(-0.5);
    expect(reliability(9, 3)).toBe(0.75);
    expect(reliability(0, 0)).toBeNull();
  });
});

describe('ratio of two estimates', () => {
  it('solves the quadratic: every limit is a ratio that the data just fail to reject', () => {
    const input = {
      numerator: 1.1,
      denominator: 2.4,
      varianceNumerator: 0.09,
      varianceDenominator: 0.16,
      covariance: 0.05,
      quantile: 2.03,
    };
    const { ratio, interval } = ratioInterval(input);
    expect(ratio).toBeCloseTo(1.1 / 2.4, 12);
    for (const limit of interval!) {
      const variance = 0.09 - 2 * limit * 0.05 + limit ** 2 * 0.16;
      expect(Math.abs((1.1 - limit * 2.4) / Math.sqrt(variance))).toBeCloseTo(2.03, 10);
    }
    expect(interval![0]).toBeLessThan(ratio);
    expect(interval![1]).toBeGreaterThan(ratio);
  });
  it('has no interval when the denominator may be zero', () => {
    const { interval } = ratioInterval({
      numerator: 1,
      denominator: 0.5,
      varianceNumerator: 0.1,
      varianceDenominator: 0.1,
      covariance: 0,
      quantile: 1.96,
    });
    expect(interval).toBeNull();
  });
});

describe('typical error and pure spread', () => {
  it('is the SD of the changes over root 2', () => {
    // numpy: np.std([1, -1, 2, -2, 0], ddof=1) / sqrt(2) = 1.118033988749895
    expect(typicalErrorOfChanges([1, -1, 2, -2, 0])).toBeCloseTo(1.118033988749895, 14);
    expect(typicalErrorOfChanges([1])).toBeNull();
  });
  it('takes the noise out and stops at 0', () => {
    expect(pureBetweenSd(5, 9)).toBe(4);
    expect(pureBetweenSd(1, 9)).toBe(0);
  });
});

describe('variance factor before/after', () => {
  // Frison and Pocock 1992; numbers worked from the formula in the literature table.
  it.each([
    [1, 1, 0.5, 0.75],
    [1, 1, 0.7, 0.51],
    [1, 1, 0.8, 0.36],
    [2, 2, 0.7, 0.27353],
    [3, 3, 0.7, 0.1875],
    [1, 4, 0.7, 0.285],
  ])('(%d before, %d after, correlation %d) is %d', (before, after, correlation, factor) => {
    expect(prePostVarianceFactor(before, after, correlation)).toBeCloseTo(factor, 5);
  });
});

describe('tipping point', () => {
  const above = (limit: number) => (interval: readonly [number, number]) =>
    interval[0] >= limit ? 'above' : 'not above';
  it('moves the interval to where the conclusion changes', () => {
    const input = { interval: [1.2, 3] as const, limits: [0.8], missingTreated: 0.1, missingControl: 0.1 };
    const shift = tippingShift({ ...input, conclude: above(0.8) })!;
    expect(shift).toBeCloseTo(-2, 12);
    expect(1.2 + shift * 0.2).toBeCloseTo(0.8, 12);
  });
  it('passes over limits that do not change the conclusion', () => {
    // Upwards only the low end matters: it must rise by 3 to reach 1, though the high end lies 0.5 from 1.
    const input = { interval: [-2, 0.5] as const, limits: [1], missingTreated: 0.3, missingControl: 0 };
    expect(tippingShift({ ...input, conclude: above(1) })!).toBeCloseTo(10, 12);
  });
  it('is null when nobody is missing, or nothing changes the conclusion', () => {
    const input = { interval: [1, 2] as const, limits: [0], conclude: above(0) };
    expect(tippingShift({ ...input, missingTreated: 0, missingControl: 0 })).toBeNull();
    expect(
      tippingShift({ ...input, conclude: () => 'always', missingTreated: 0.2, missingControl: 0 }),
    ).toBeNull();
  });
});

describe('moments', () => {
  it('agrees with scipy on an unequal-spread difference', () => {
    const welch = unequalSpreadDifference(reference.first, reference.second, 0.95)!;
    expect(welch.difference).toBeCloseTo(reference.difference, 12);
    expect(welch.degreesOfFreedom).toBeCloseTo(reference.degreesOfFreedom, 9);
    expect(welch.interval[0]).toBeCloseTo(reference.interval[0], 9);
    expect(welch.interval[1]).toBeCloseTo(reference.interval[1], 9);
  });
  it('agrees with scipy on skewness and the interval of a mean', () => {
    expect(skewness(reference.skewed)!.value).toBeCloseTo(reference.skewness, 12);
    const interval = meanInterval(reference.skewed, 0.9)!;
    expect(interval[0]).toBeCloseTo(reference.meanInterval90[0], 9);
    expect(interval[1]).toBeCloseTo(reference.meanInterval90[1], 9);
  });
  it('says null, not NaN, when there is too little', () => {
    expect(moments([])).toBeNull();
    expect(moments([3])).toEqual({ n: 1, mean: 3, sd: null });
    expect(meanInterval([3], 0.95)).toBeNull();
    expect(unequalSpreadDifference([1, 1], [2, 2], 0.95)).toBeNull();
    expect(skewness([2, 2, 2, 2])).toBeNull();
    expect(median([])).toBeNull();
    expect(robustDistances([1, 1, 1, 9])).toBeNull();
  });
  it('finds a lone far value', () => {
    const distances = robustDistances([1, 2, 3, 4, 5, 40])!;
    expect(distances[5]).toBeGreaterThan(5);
    expect(Math.max(...distances.slice(0, 5))).toBeLessThan(2);
  });
});
