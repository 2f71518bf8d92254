import { figure } from '../../shared/words.ts';
import type { Comparison } from '../input/comparison.ts';

/** What a comparison is called in each place. */
export interface ComparisonWords {
  readonly question: (label: string) => string;
  /** `came to differ between golfers in 'drill' and in 'control'`: what the curves did, before the stretch. */
  readonly differed: string;
  /** The same denied: `came to differ` after `no stretch in which it`. */
  readonly whose: string;
  /** `in 'drill' than in 'control'`. */
  readonly than: string;
  /** What the numbers of the difference are, for figures and tables. */
  readonly difference: string;
}

export function comparisonWords(comparison: Comparison, spread: number): ComparisonWords {
  switch (comparison.kind) {
    case 'arms-change': {
      const { first, second } = comparison.arms;
      return {
        question: (label) =>
          `When in the downswing did ${label} change differently in '${first}' than in '${second}'?`,
        differed: `changed differently in '${first}' than in '${second}'`,
        whose: `the change in '${first}' less the change in '${second}'`,
        than: `in '${first}' than in '${second}', set against where each golfer started`,
        difference: `change in '${first}' less change in '${second}'`,
      };
    }
    case 'arms-after': {
      const { first, second } = comparison.arms;
      return {
        question: (label) =>
          `When in the downswing did ${label} differ between '${first}' and '${second}' afterwards?`,
        differed: `differed afterwards between '${first}' and '${second}'`,
        whose: `'${first}' less '${second}', afterwards`,
        than: `in '${first}' than in '${second}'`,
        difference: `'${first}' less '${second}', after`,
      };
    }
    case 'before-after':
      return {
        question: (label) => `When in the downswing did ${label} change from before to after?`,
        differed: 'changed from before to after',
        whose: 'after less before',
        than: 'after than before, in the same golfers',
        difference: 'after less before, in the same golfers',
      };
    case 'by-number': {
      const { label: number, unit } = comparison;
      const apart = `${figure(spread, spread < 1 ? 2 : 1)} ${unit}${unit === 'stroke' ? 's' : ''}`.trim();
      return {
        question: (label) => `When in the downswing does ${label} go with ${number}?`,
        differed: `went with ${number}`,
        whose: `golfers one SD (${apart}) apart in ${number}`,
        than: `in golfers one SD (${apart}) higher in ${number}`,
        difference: `for one SD (${apart}) more in ${number}`,
      };
    }
  }
}
