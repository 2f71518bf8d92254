import type { Finding, SmallestChange, Verdict } from '../studies/index.ts';
import { formatQuantity } from './numbers.ts';

const short: Readonly<Record<Verdict, string>> = {
  meaningful: 'A change that matters',
  'too-small-to-matter': 'Too small to matter',
  opposite: 'A change the wrong way',
  'cannot-tell': 'Cannot tell yet',
};

/** Where a study's first estimate is no change, its verdicts in words of their own; by study, or study and design. */
const ownWords: Readonly<Record<string, Partial<Readonly<Record<Verdict, string>>>>> = {
  noise: {
    meaningful: 'Too noisy for a change that matters',
    'too-small-to-matter': 'A change that matters can be seen',
  },
  angle: {
    meaningful: 'Not reproduced',
    'too-small-to-matter': 'Reproduced',
    'cannot-tell': 'Cannot tell',
  },
  mechanism: {
    meaningful: 'A link that matters, within golfers',
    'too-small-to-matter': 'A link too small to matter',
    opposite: 'A link the other way',
  },
  instructors: {
    meaningful: 'Instructors differ enough to matter',
    'too-small-to-matter': 'It hardly matters who teaches',
  },
  calibration: {
    meaningful: 'Not everywhere as good as its word',
    'too-small-to-matter': 'As good as its word',
    'cannot-tell': 'Too few cohorts to tell',
  },
  plan: {
    meaningful: 'A size that can answer',
    'cannot-tell': 'This would not answer',
  },
  'noise agreement': {
    meaningful: 'They differ by more than matters',
    'too-small-to-matter': 'They agree closely enough',
  },
};

/** Studies whose verdict `too-small-to-matter` is the one to be relied on. */
const SMALL_IS_GOOD: readonly string[] = ['noise', 'angle', 'calibration'];

/** The sign that goes with a verdict: a tick for what can be relied on, whichever way the study's verdicts run. */
export function verdictSign(verdict: Verdict, { study }: Pick<Finding, 'study'>): Verdict | 'noisy' {
  if (!SMALL_IS_GOOD.includes(study)) return verdict;
  return (
    ({ 'too-small-to-matter': 'meaningful', meaningful: 'noisy' } as const)[verdict as 'meaningful'] ??
    verdict
  );
}

/** `A change that matters`; in the words of the study where the finding is given. */
export function verdictShort(verdict: Verdict, finding?: Pick<Finding, 'study' | 'design'>): string {
  if (finding === undefined) return short[verdict];
  const { study, design } = finding;
  return ownWords[`${study} ${design.kind}`]?.[verdict] ?? ownWords[study]?.[verdict] ?? short[verdict];
}

/** The smallest change that matters: as planned, or to two figures; without idle zeros: `3°`, `0.25 m`. */
export function smallestWords(smallest: SmallestChange): string {
  const size = Number(Math.abs(smallest.value).toPrecision(smallest.from === 'default' ? 2 : 4));
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
