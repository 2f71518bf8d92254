import type { SmallestChange } from '../finding.ts';
import { standingOf } from './standing.ts';
import { amount } from './words.ts';

/**
 * The verdict in words, with what the data do and do not rule out: the end of an answer's sentence, from its
 * semicolon on. `noInterval` says why there is none, where there is none.
 */
export function standingWords(
  interval: readonly [number, number] | null,
  smallest: SmallestChange | null,
  decimals: number,
  noInterval: string,
): string {
  if (smallest === null)
    return '; nothing says how small a change would matter, so whether it matters cannot be told';
  const s = amount(smallest.value, smallest.unit, decimals);
  const that = /points$/.test(s) ? 'that matter' : 'that matters';
  switch (standingOf(interval, smallest)) {
    case 'beyond-good':
      return `; even the near end of the interval is at least the ${s} ${that}: a change that matters, in the good direction`;
    case 'beyond-either':
      return `; even the near end of the interval is at least the ${s} ${that}: a change that matters, though neither direction is better in itself`;
    case 'beyond-bad':
      return `; even the near end of the interval is at least the ${s} ${that}, in the wrong direction`;
    case 'inside':
      return interval![0] > 0 || interval![1] < 0
        ? `; there is a change, but the whole interval is within the ${s} ${that}: too small to matter`
        : `; the whole interval is within ${s} either way: too small to matter`;
    case 'changed-maybe-too-little':
      return `; it changed${smallest.goodDirection === 0 ? '' : ' in the good direction'}, but perhaps by less than the ${s} ${that}, so whether it changed enough cannot be told`;
    case 'worse-maybe-too-little':
      return `; it changed in the wrong direction, perhaps by less than the ${s} ${that}, so whether that matters cannot be told`;
    case 'harm-ruled-out':
      return `; a change for the worse of the ${s} ${that} is ruled out, but whether there is a gain cannot be told`;
    case 'benefit-ruled-out':
      return `; a gain of the ${s} ${that} is ruled out, but whether there is harm cannot be told`;
    case 'anything':
      return `; the data fit a change of the ${s} ${that} in either direction, and none at all, so it cannot be told`;
    case 'no-interval':
      return `; ${noInterval}, so it cannot be told`;
  }
}
