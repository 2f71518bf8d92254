import { prePostVarianceFactor, unequalSpreadDifference } from '../../../stats/index.ts';
import type { GolferChange } from '../../drill-trial-tables.ts';
import type { Check } from '../../finding.ts';
import { amount, figure, figureIn, list, listSome, percent } from '../../shared/words.ts';
import { golferMeans } from '../analysis/golfer-means.ts';
import { comparedRows } from '../analysis/main-analysis.ts';
import { controlWords } from '../wording/arm-words.ts';
import type { CheckRequest } from './checks.ts';

/** How far the arms stood apart before the drill, in words and not by a p-value. */
export function balanceAtBaseline({
  golfers,
  design,
  metric,
  level,
  resolution,
}: CheckRequest): Check | null {
  if (design.kind !== 'parallel' || design.control === null) return null;
  const name = 'balance at baseline';
  const of = (arm: string) =>
    golfers.filter((golfer) => golfer.arm === arm && golfer.before !== null).map((golfer) => golfer.before!);
  const parts = design.drills.flatMap((arm) => {
    const gap = unequalSpreadDifference(of(arm), of(design.control!), level);
    return gap === null ? [] : [{ arm, gap: gap.difference }];
  });
  if (parts.length === 0)
    return { name, outcome: 'not-possible', words: 'An arm has fewer than two golfers with a baseline.' };
  const { betweenSd } = resolution;
  const far = betweenSd !== null && betweenSd > 0 && parts.some(({ gap }) => Math.abs(gap) > 0.5 * betweenSd);
  const gaps = parts.map(
    ({ arm, gap }) =>
      `'${arm}' started ${amount(Math.abs(gap), metric.unit, metric.decimals)} ${gap >= 0 ? 'above' : 'below'} ${controlWords(design.control!)}`,
  );
  return {
    name,
    outcome: far ? 'look' : 'good',
    words: `${list(gaps)}${betweenSd !== null && betweenSd > 0 ? ` (golfers differ by an SD of ${amount(betweenSd, metric.unit, metric.decimals)})` : ''}. The model takes a difference at the start out of the comparison, on the ground that it is chance; it is chance only if golfers were put into arms by chance.`,
  };
}

/** In a crossover: whether golfers who had the drill first stand higher over both periods. */
export function carriedBetweenPeriods({ rows, design, metric, level }: CheckRequest): Check | null {
  if (design.kind !== 'crossover') return null;
  const name = 'carry-over between periods';
  const means = golferMeans(comparedRows(rows, design), (row) => row.arm);
  const totals = (first: string) =>
    [...means].flatMap(([golfer, own]) =>
      own.size === 2 && design.periods.get(golfer)?.[0]?.arm === first
        ? [[...own.values()].reduce((sum, cell) => sum + cell.mean, 0) / 2]
        : [],
    );
  const gap = unequalSpreadDifference(totals(design.drills[0]!), totals(design.control!), level);
  if (gap === null)
    return {
      name,
      outcome: 'not-possible',
      words: 'An order has fewer than two golfers measured in both periods.',
    };
  const [low, high] = gap.interval;
  const seen = low > 0 || high < 0;
  return {
    name,
    outcome: seen ? 'look' : 'good',
    words: `Golfers who did the drill first average ${amount(gap.difference, metric.unit, metric.decimals + 1)} more over both periods than those who did it second (${percent(level, 1)} interval ${figureIn(low, metric.unit, metric.decimals + 1)} to ${figureIn(high, metric.unit, metric.decimals + 1)}). ${
      seen
        ? 'That is what a drill that goes on working in the second period would look like; the first period alone is then the fairer comparison.'
        : 'A drill that goes on working would show here, but this comparison sees only large carry-over: the design, not this check, has to rule it out.'
    }`,
  };
}

/** How many golfers the adjustment for the start saves (Frison and Pocock 1992). */
export function whatTheBaselineBought({ golfers, design }: CheckRequest): Check | null {
  if (design.kind !== 'parallel') return null;
  const pairs = golfers.filter((golfer) => golfer.before !== null && golfer.after !== null);
  const centred = (pick: (golfer: GolferChange) => number) => {
    const means = new Map(
      [...new Set(pairs.map(({ arm }) => arm))].map((arm) => {
        const own = pairs.filter((golfer) => golfer.arm === arm);
        return [arm, own.reduce((sum, golfer) => sum + pick(golfer), 0) / own.length] as const;
      }),
    );
    return pairs.map((golfer) => pick(golfer) - means.get(golfer.arm)!);
  };
  if (pairs.length < 6) return null;
  const x = centred((golfer) => golfer.before!);
  const y = centred((golfer) => golfer.after!);
  const dot = (a: readonly number[], b: readonly number[]) =>
    a.reduce((sum, value, i) => sum + value * b[i]!, 0);
  const spread = Math.sqrt(dot(x, x) * dot(y, y));
  if (!(spread > 0)) return null;
  const correlation = dot(x, y) / spread;
  if (correlation < 0) return null;
  const share = prePostVarianceFactor(1, 1, Math.min(1, correlation));
  return {
    name: 'what the baseline bought',
    outcome: 'good',
    words: `Golfers' means before and after correlate at ${figure(correlation, 2)} within the arms, so adjusting for the start needs about ${percent(share)} of the golfers that a comparison of values after alone would need.`,
  };
}

/** Golfers of the control who logged practice that is not named as usual practice: they may have done the drill. */
export function drillInControl({ golfers, design }: CheckRequest): Check | null {
  if (design.kind !== 'parallel' || design.control === null) return null;
  const control = golfers.filter((golfer) => golfer.role === 'control');
  const done = control.filter((golfer) => (golfer.reps ?? 0) > 0);
  if (golfers.every((golfer) => golfer.reps === null)) return null;
  return {
    name: 'practice of the drill in the control',
    outcome: done.length === 0 ? 'good' : 'look',
    words:
      done.length === 0
        ? 'No golfer in the control logged repetitions of a drill.'
        : `${done.length} of ${control.length} golfers in the control logged repetitions of a drill (${listSome(done.map((golfer) => golfer.golfer))}): if it was this one, the comparison understates what it does. Practice logged under the name of the control, or as usual practice, is not counted.`,
  };
}
