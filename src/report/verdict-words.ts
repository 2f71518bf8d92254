import type { Finding, SmallestChange, Verdict } from '../studies/index.ts';
import { formatQuantity } from './numbers.ts';

const short: Readonly<Record<Verdict, string>> = {
  meaningful: 'A change that matters',
  'too-small-to-matter': 'Too small to matter',
  opposite: 'A change the wrong way',
  'cannot-tell': 'Cannot tell yet',
};

/** `A change that matters`. */
export function verdictShort(verdict: Verdict): string {
  return short[verdict];
}

/** The smallest change that matters: as planned, or to two figures; without idle zeros: `3°`, `0.25 m`. */
export function smallestWords(smallest: SmallestChange): string {
  const size = Number(Math.abs(smallest.value).toPrecision(smallest.from === 'plan' ? 4 : 2));
  const decimals = (String(size).split('.')[1] ?? '').length;
  return formatQuantity(size, smallest.unit, decimals);
}

/** Where the interval of the first estimate lies against the zone, in a sentence made from the numbers. */
export function intervalAgainstZone(finding: Finding): string {
  const [low, high] = finding.estimates[0]?.interval ?? [null, null];
  const smallest = finding.smallestChange;
  if (low === null || high === null) return 'No interval could be given.';
  if (smallest === null) return '';
  const edge = Math.abs(smallest.value);
  const size = smallestWords(smallest);
  if (low >= -edge && high <= edge) return `The whole interval lies within ${size} of no change.`;
  if (low >= edge || high <= -edge) return `The whole interval lies beyond ${size}.`;
  if (low > 0 || high < 0)
    return `The interval leaves out no change, and reaches from below ${size} to beyond it.`;
  return low < -edge && high > edge
    ? `The interval reaches beyond ${size} both ways, so these data settle nothing.`
    : `The interval includes no change and reaches beyond ${size}, so these data do not settle it.`;
}
