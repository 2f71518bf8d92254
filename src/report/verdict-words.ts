import type { Finding, Verdict } from '../studies/finding.ts';
import { formatQuantity } from './numbers.ts';

/** A verdict in words, and what it rests on. */
export interface VerdictWords {
  readonly short: string;
  readonly long: string;
}

const short: Readonly<Record<Verdict, string>> = {
  meaningful: 'A change that matters',
  'too-small-to-matter': 'Too small to matter',
  opposite: 'A change the wrong way',
  'cannot-tell': 'Cannot tell yet',
};

/** `a change that matters`, for use within a sentence or a table. */
export function verdictShort(verdict: Verdict): string {
  return short[verdict];
}

/** The verdict of a Finding, with the rule that gave it. */
export function verdictWords(finding: Finding): VerdictWords {
  const smallest = finding.smallestChange;
  const size =
    smallest === null
      ? 'the smallest change that matters'
      : `the smallest change that matters (${formatQuantity(Math.abs(smallest.value), smallest.unit, 2).replace(/\.?0+(?=\D|$)/, '')})`;
  const long: Readonly<Record<Verdict, string>> = {
    meaningful: `The whole interval lies beyond ${size}.`,
    'too-small-to-matter': `The whole interval lies within ${size}, either way.`,
    opposite: `The whole interval lies on the wrong side, beyond ${size}.`,
    'cannot-tell': `The interval reaches from effects smaller than ${size} to larger ones, so these data do not settle it.`,
  };
  return { short: short[finding.verdict], long: long[finding.verdict] };
}
