import type { SmallestChange, Verdict } from '../finding.ts';

/**
 * Where an interval lies against no change and the smallest change that matters. Low and high ends are turned so
 * that more is better; `either` when neither direction is better in itself.
 */
export type Standing =
  | 'beyond-good'
  | 'beyond-bad'
  | 'beyond-either'
  | 'inside'
  | 'changed-maybe-too-little'
  | 'worse-maybe-too-little'
  | 'harm-ruled-out'
  | 'benefit-ruled-out'
  | 'anything'
  | 'no-interval';

/** Where an interval stands; an end that equals the smallest change counts as reaching it. */
export function standingOf(
  interval: readonly [number, number] | null,
  smallest: Pick<SmallestChange, 'value' | 'goodDirection'>,
): Standing {
  if (interval === null) return 'no-interval';
  const { value: s, goodDirection } = smallest;
  const [low, high] = goodDirection === -1 ? [-interval[1], -interval[0]] : interval;
  if (low >= s) return goodDirection === 0 ? 'beyond-either' : 'beyond-good';
  if (high <= -s) return goodDirection === 0 ? 'beyond-either' : 'beyond-bad';
  if (low > -s && high < s) return 'inside';
  if (low > 0) return 'changed-maybe-too-little';
  if (high < 0) return goodDirection === 0 ? 'changed-maybe-too-little' : 'worse-maybe-too-little';
  if (goodDirection === 0) return 'anything';
  if (low > -s) return 'harm-ruled-out';
  if (high < s) return 'benefit-ruled-out';
  return 'anything';
}

/** A verdict compares the whole interval with the smallest change that matters; it never rests on a p-value. */
export function verdictOf(
  interval: readonly [number, number] | null,
  smallest: Pick<SmallestChange, 'value' | 'goodDirection'>,
): Verdict {
  switch (standingOf(interval, smallest)) {
    case 'beyond-good':
    case 'beyond-either':
      return 'meaningful';
    case 'beyond-bad':
      return 'opposite';
    case 'inside':
      return 'too-small-to-matter';
    default:
      return 'cannot-tell';
  }
}
