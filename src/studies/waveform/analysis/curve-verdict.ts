import type { NodeWindow } from '../../../stats/index.ts';
import { windowsOf } from '../../../stats/index.ts';
import type { SmallestChange, Verdict } from '../../finding.ts';
import type { CurveComparison } from './compare-curves.ts';

type Compared = Pick<CurveComparison, 'effect' | 'band' | 'windows'>;

/** Stretches in which the whole band lies beyond the smallest change that matters, one way or the other. */
export function mattersWindows(
  { effect, band }: Compared,
  smallest: Pick<SmallestChange, 'value'> | null,
): NodeWindow[] {
  if (band === null || smallest === null) return [];
  const { value: s } = smallest;
  return windowsOf(effect.length, (q) => (band.low[q]! >= s ? 1 : band.high[q]! <= -s ? -1 : 0));
}

/**
 * The verdict on a band: meaningful where it lies beyond the smallest change in the good direction in some window (in
 * either, where neither is better), opposite where only in the bad one, too small where it lies within throughout.
 */
export function curveVerdict(
  compared: Compared,
  smallest: Pick<SmallestChange, 'value' | 'goodDirection'> | null,
): Verdict {
  const { band } = compared;
  if (band === null || smallest === null) return 'cannot-tell';
  const windows = mattersWindows(compared, smallest);
  if (windows.length > 0)
    return smallest.goodDirection === 0 || windows.some(({ sign }) => sign === smallest.goodDirection)
      ? 'meaningful'
      : 'opposite';
  const { value: s } = smallest;
  return band.low.every((low) => low > -s) && band.high.every((high) => high < s)
    ? 'too-small-to-matter'
    : 'cannot-tell';
}

/**
 * The node that answers: where the band's near end is furthest from zero, in the direction that decided; where it holds zero
 * throughout, where the difference is largest.
 */
export function decidingNode(compared: Compared, verdict: Verdict, goodDirection: 1 | -1 | 0): number {
  const { effect, band, windows } = compared;
  const wanted =
    goodDirection === 0 || (verdict !== 'meaningful' && verdict !== 'opposite')
      ? 0
      : verdict === 'meaningful'
        ? goodDirection
        : -goodDirection;
  const score = (q: number) => {
    if (band === null || windows.length === 0) return Math.abs(effect[q]!);
    const near = Math.max(band.low[q]!, -band.high[q]!);
    return wanted === 0 || Math.sign(effect[q]!) === wanted ? near : Number.NEGATIVE_INFINITY;
  };
  return effect.reduce((best, _, q) => (score(q) > score(best) ? q : best), 0);
}
