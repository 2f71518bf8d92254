import { medianInPlace } from '../../../numerics/index.ts';
import { median } from '../../../stats/index.ts';
import type { Check } from '../../finding.ts';
import { count } from '../../shared/words.ts';
import { measuredSwings } from '../input/swing-groups.ts';
import type { SwingGroup } from '../input/trial-data.ts';

/** Robust SDs beyond which a swing counts as far from its golfer's others (Iglewicz and Hoaglin 1993). */
export const FAR = 3.5;

/** Fewer swings in a phase have no middle to be far from. */
const LEAST = 3;

/** Far swings, and what is left of the groups that have some; null for a group of which nothing is left. */
export interface FarSwings {
  /** In order. */
  readonly ids: readonly string[];
  readonly rest: ReadonlyMap<SwingGroup, SwingGroup | null>;
}

/**
 * The swings that lie far from the middle of the golfer's swings in the phase, in robust SDs (1.4826 x the median distance)
 * pooled over golfers. Null where swings were only summed: a middle cannot be had from sums.
 */
export function farSwings(rows: readonly SwingGroup[]): FarSwings | null {
  if (rows.some(({ each }) => each === null)) return null;
  const phases = new Map<string, SwingGroup[]>();
  for (const row of rows) {
    const key = JSON.stringify([row.golfer, row.phase, row.period]);
    const own = phases.get(key);
    if (own === undefined) phases.set(key, [row]);
    else own.push(row);
  }
  const judged = [...phases.values()].filter((own) => swingsIn(own) >= LEAST);
  const residuals = new Float64Array(judged.reduce((sum, own) => sum + swingsIn(own), 0));
  let end = 0;
  for (const own of judged) {
    const start = end;
    for (const { each } of own)
      for (let i = 0; i < each!.values.length; i++) residuals[end++] = each!.values[i]!;
    const middle = medianInPlace(residuals.slice(start, end))!;
    for (let i = start; i < end; i++) residuals[i] = residuals[i]! - middle;
  }
  const none: FarSwings = { ids: [], rest: new Map() };
  const centre = median(residuals);
  if (centre === null) return none;
  const spread = 1.4826 * medianInPlace(residuals.map((value) => Math.abs(value - centre)))!;
  if (!(spread > 0)) return none;
  const ids: string[] = [];
  const rest = new Map<SwingGroup, SwingGroup | null>();
  let at = 0;
  for (const row of judged.flat()) {
    const { ids: own, values } = row.each!;
    const kept: number[] = [];
    for (let i = 0; i < values.length; i++)
      if (Math.abs((residuals[at++]! - centre) / spread) > FAR) ids.push(own[i]!);
      else kept.push(i);
    if (kept.length < values.length) rest.set(row, remaining(row, kept));
  }
  return { ids: ids.sort(), rest };
}

function remaining(row: SwingGroup, kept: readonly number[]): SwingGroup | null {
  if (kept.length === 0) return null;
  const { ids, values } = row.each!;
  return {
    ...row,
    ...measuredSwings(
      kept.map((i) => ids[i]!),
      Float64Array.from(kept, (i) => values[i]!),
    ),
  };
}

/** How many swings there are in groups. */
export function swingsIn(rows: readonly SwingGroup[]): number {
  return rows.reduce((sum, row) => sum + row.count, 0);
}

/** That swings far from the others could not be looked for, where they were only summed. */
export function summedOnly(rows: readonly SwingGroup[]): Check | null {
  if (rows.every(({ each }) => each !== null)) return null;
  return {
    name: 'swings far from the rest',
    outcome: 'not-possible',
    words: `The ${count(swingsIn(rows), 'swing')} were summed where they are, by session, and not read one by one. Every number of this answer is the one that the swings themselves give; but which swings lie far from the others, and what the answer is without them, sums do not tell. Ask the question of a part of the golfers to see them.`,
  };
}
