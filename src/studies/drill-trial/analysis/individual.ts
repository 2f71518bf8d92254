import { moments, type ResponseSpread, responseSpread } from '../../../stats/index.ts';
import type { GolferChange } from '../../drill-trial-tables.ts';
import type { SmallestChange } from '../../finding.ts';
import type { OwnChange } from './effect.ts';

/**
 * Probability that a golfer's true change lies beyond the smallest change that matters, in the good direction (in either
 * when neither is better). Null where its chances are not known.
 */
export function chanceBeyond(
  { chanceAbove }: OwnChange,
  smallest: Pick<SmallestChange, 'value' | 'goodDirection'>,
): number | null {
  if (chanceAbove === null) return null;
  const above = chanceAbove(smallest.value);
  const below = 1 - chanceAbove(-smallest.value);
  if (smallest.goodDirection === 0) return above + below;
  return smallest.goodDirection === 1 ? above : below;
}

export interface IndividualResponses {
  readonly spread: ResponseSpread;
  readonly sdDrill: number;
  readonly sdControl: number;
  /** Whether the known noise of the means was taken out of both. */
  readonly noiseTaken: boolean;
}

/**
 * SD of true individual responses in one arm against the control, from golfers' observed changes. The noise of a
 * golfer's two means that comes from the spread of swings is taken out of each arm, so that arms with unequal numbers
 * of swings are compared alike; noise that is alike in both arms, such as that of days, cancels. Text when the
 * question cannot be answered.
 */
export function individualResponses(
  golfers: readonly GolferChange[],
  arm: string,
  control: string,
  noise: { readonly swing: number | null },
  level: number,
): IndividualResponses | string {
  const treated = changesOf(golfers, arm, noise.swing);
  const idle = changesOf(golfers, control, noise.swing);
  const a = moments(treated.changes);
  const b = moments(idle.changes);
  if (a === null || b === null || a.n < 3 || b.n < 3 || a.sd === null || b.sd === null)
    return 'Fewer than 3 golfers of an arm have a value before and after.';
  if (a.sd === 0 && b.sd === 0) return 'Every golfer of an arm changed by the same amount.';
  const spread = responseSpread({
    sdTreated: a.sd,
    nTreated: a.n,
    sdControl: b.sd,
    nControl: b.n,
    noiseTreated: treated.noise,
    noiseControl: idle.noise,
    level,
  });
  return { spread, sdDrill: a.sd, sdControl: b.sd, noiseTaken: noise.swing !== null };
}

function changesOf(golfers: readonly GolferChange[], arm: string, swing: number | null) {
  const own = golfers.filter((golfer) => golfer.arm === arm && golfer.change !== null);
  const noise =
    swing === null || own.length === 0
      ? 0
      : own.reduce((sum, g) => sum + swing ** 2 * (1 / g.swingsBefore + 1 / g.swingsAfter), 0) / own.length;
  return { changes: own.map((golfer) => golfer.change!), noise };
}
