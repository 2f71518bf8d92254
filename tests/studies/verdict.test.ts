import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { standingOf, verdictOf } from '../../src/studies/shared/standing.ts';

const more = { value: 1, goodDirection: 1 } as const;
const less = { value: 1, goodDirection: -1 } as const;
const either = { value: 1, goodDirection: 0 } as const;

describe('verdict', () => {
  it.each([
    [[1, 3], more, 'beyond-good', 'meaningful'],
    [[1.2, 3], more, 'beyond-good', 'meaningful'],
    [[-3, -1], more, 'beyond-bad', 'opposite'],
    [[-0.9, 0.9], more, 'inside', 'too-small-to-matter'],
    [[0.2, 0.9], more, 'inside', 'too-small-to-matter'],
    [[0.2, 1], more, 'changed-maybe-too-little', 'cannot-tell'],
    [[-1.5, -0.2], more, 'worse-maybe-too-little', 'cannot-tell'],
    [[-0.5, 2], more, 'harm-ruled-out', 'cannot-tell'],
    [[-2, 0.5], more, 'benefit-ruled-out', 'cannot-tell'],
    [[-2, 2], more, 'anything', 'cannot-tell'],
    [[-3, -1], less, 'beyond-good', 'meaningful'],
    [[1, 3], less, 'beyond-bad', 'opposite'],
    [[-2, 0.5], less, 'harm-ruled-out', 'cannot-tell'],
    [[-0.5, 2], less, 'benefit-ruled-out', 'cannot-tell'],
    [[0.2, 1.5], less, 'worse-maybe-too-little', 'cannot-tell'],
    [[1, 3], either, 'beyond-either', 'meaningful'],
    [[-3, -1], either, 'beyond-either', 'meaningful'],
    [[-0.9, 0.9], either, 'inside', 'too-small-to-matter'],
    [[-1.5, -0.2], either, 'changed-maybe-too-little', 'cannot-tell'],
    [[-0.5, 2], either, 'anything', 'cannot-tell'],
  ] as const)('of %j with %j is %s', (interval, smallest, standing, verdict) => {
    expect(standingOf(interval, smallest)).toBe(standing);
    expect(verdictOf(interval, smallest)).toBe(verdict);
  });
  it('without an interval is cannot-tell', () => {
    expect(standingOf(null, more)).toBe('no-interval');
    expect(verdictOf(null, more)).toBe('cannot-tell');
  });
  it('turns round with the good direction, and grows no surer with a wider interval', () => {
    const limits = fc.tuple(
      fc.double({ min: -5, max: 5, noNaN: true }),
      fc.double({ min: 0, max: 5, noNaN: true }),
    );
    fc.assert(
      fc.property(limits, fc.double({ min: 0.01, max: 3, noNaN: true }), ([low, width], value) => {
        const interval = [low, low + width] as const;
        const turned = [-low - width, -low] as const;
        const up = verdictOf(interval, { value, goodDirection: 1 });
        expect(verdictOf(turned, { value, goodDirection: -1 })).toBe(up);
        const wider = verdictOf([low - 1, low + width + 1], { value, goodDirection: 1 });
        expect(wider === 'cannot-tell' || wider === up).toBe(true);
      }),
    );
  });
});
