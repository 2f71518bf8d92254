import { describe, expect, it } from 'vitest';
import {
  steadyTorque,
  torqueAt,
  torqueBreaks,
  torqueProblem,
} from '../../../src/synthetic/mechanics/index.ts';

const PUSH = { size_Nm: 80, onset_s: 0.1, rise_s: 0.2, end_s: 0.5, fall_s: 0.1 };

describe('torqueAt', () => {
  it('rises, stays and falls as stated', () => {
    // s^2 (3 - 2 s) at s = 0, 1/4, 1/2, 1: 0, 5/32, 1/2, 1.
    for (const [time, share] of [
      [0.05, 0],
      [0.15, 5 / 32],
      [0.2, 0.5],
      [0.4, 1],
      [0.55, 0.5],
      [0.7, 0],
    ] as const)
      expect(torqueAt(PUSH, time, time)).toBeCloseTo(80 * share, 12);
  });

  it('has a left and a right value on a jump', () => {
    const jump = { ...steadyTorque(10), end_s: 0.1 };
    expect(torqueAt(jump, 0.1, 0.05)).toBe(10);
    expect(torqueAt(jump, 0.1, 0.15)).toBe(0);
  });

  it('lists its corners once, in order, within the span', () => {
    expect(torqueBreaks([PUSH, { ...PUSH, onset_s: 0 }], 0.55)).toEqual(
      [0.1, 0.2, 0.1 + 0.2, 0.5].sort((a, b) => a - b),
    );
    expect(torqueBreaks([steadyTorque(5)], 1)).toEqual([]);
  });

  it.each([
    [{ onset_s: -0.1 }, /negative/],
    [{ end_s: 0.2 }, /before the rise/],
    [{ size_Nm: Number.NaN }, /finite/],
    [{ end_s: Number.NaN }, /before the rise/],
  ])('%o is no torque', (wrong, words) => {
    expect(torqueProblem({ ...PUSH, ...wrong })).toMatch(words);
    expect(torqueProblem(PUSH)).toBeNull();
  });
});
