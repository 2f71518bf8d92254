import type { Finding } from '../../finding.ts';
import { count } from '../../shared/words.ts';
import type { Comparison } from '../input/comparison.ts';
import type { GolferCurve } from '../input/golfer-curves.ts';
import type { ComparisonWords } from './comparison-words.ts';

const KINDS = {
  'arms-change': 'two arms, by how much each golfer changed',
  'arms-after': 'two arms, afterwards',
  'before-after': 'the same golfers before and after',
  'by-number': 'golfers by a number of theirs',
} as const;

/** Who was compared, in words and counts. */
export function designOf(
  comparison: Comparison,
  golfers: readonly GolferCurve[],
  words: ComparisonWords,
): Finding['design'] {
  const counts = (list: readonly GolferCurve[]) => {
    const swings = list.flatMap((golfer) => golfer.swings);
    return {
      golfers: list.length,
      sessions: new Set(swings.map(({ session }) => session)).size,
      swings: swings.length,
    };
  };
  const all = counts(golfers);
  const arms =
    comparison.kind === 'arms-change' || comparison.kind === 'arms-after'
      ? ([comparison.arms.first, comparison.arms.second] as const).map((arm, k) => ({
          arm,
          role: k === 1 && comparison.arms.hasControl ? ('control' as const) : ('drill' as const),
          ...counts(golfers.filter(({ group }) => group === arm)),
        }))
      : [];
  return {
    kind: KINDS[comparison.kind],
    words: `${words.difference.charAt(0).toUpperCase()}${words.difference.slice(1)}: ${count(all.golfers, 'golfer')}, ${count(all.sessions, 'session')}, ${count(all.swings, 'full swing')}.`,
    ...all,
    arms,
  };
}
