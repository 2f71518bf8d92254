import { type MeanDifference, moments, tippingShift, unequalSpreadDifference } from '../../../stats/index.ts';
import type { FlowRow, GolferChange } from '../../drill-trial-tables.ts';
import type { SmallestChange } from '../../finding.ts';
import { verdictOf } from '../../shared/standing.ts';
import type { Design } from '../input/design.ts';
import type { Effect } from './effect.ts';

export interface Dropouts {
  /** Golfers with a baseline and no value after, by arm. */
  readonly leavers: ReadonlyMap<string, readonly string[]>;
  /** Mean baseline of those who left minus that of those who stayed; null with fewer than two of either. */
  readonly baselineDifference: MeanDifference | null;
  /** Share of each arm's measured golfers that have no value after. */
  readonly share: ReadonlyMap<string, number>;
  /**
   * How far the missing changes in the arm under test would have to lie from what the model expects (and those of
   * the control as far the other way) before the verdict changes; null when nobody left or nothing would change it.
   */
  readonly tipping: number | null;
  /** The same in SDs of the changes that were seen. */
  readonly tippingInSds: number | null;
}

/** Who left before the value after, how they differ, and how extreme they would have to be to alter the verdict. */
export function analyseDropouts(
  golfers: readonly GolferChange[],
  flow: readonly FlowRow[],
  arm: string,
  design: Pick<Design, 'control' | 'kind'>,
  effect: Effect,
  smallest: SmallestChange | null,
  level: number,
): Dropouts {
  if (design.kind === 'crossover') return oneSided(golfers);
  const { control } = design;
  const started = golfers.filter((golfer) => golfer.before !== null);
  const left = started.filter((golfer) => golfer.after === null);
  const stayed = started.filter((golfer) => golfer.after !== null);
  const arms = flow.map((row) => row.arm);
  const of = (list: readonly GolferChange[], name: string) => list.filter((golfer) => golfer.arm === name);
  const share = new Map(
    arms.map((name) => {
      const all = of(started, name).length;
      return [name, all === 0 ? 0 : of(left, name).length / all];
    }),
  );
  const tipping =
    smallest === null || effect.interval === null
      ? null
      : tippingShift({
          interval: effect.interval,
          limits: [-smallest.value, smallest.value],
          conclude: (interval) => verdictOf(interval, smallest),
          missingTreated: share.get(arm) ?? 0,
          missingControl: control === null ? 0 : (share.get(control) ?? 0),
        });
  const spread = moments(of(stayed, arm).map((golfer) => golfer.change!))?.sd ?? null;
  return {
    leavers: new Map(arms.map((name) => [name, of(left, name).map((golfer) => golfer.golfer)])),
    baselineDifference: unequalSpreadDifference(
      left.map((golfer) => golfer.before!),
      stayed.map((golfer) => golfer.before!),
      level,
    ),
    share,
    tipping,
    tippingInSds: tipping === null || spread === null || spread === 0 ? null : Math.abs(tipping) / spread,
  };
}

/** In a crossover: who was measured after one of the two arms only. */
function oneSided(golfers: readonly GolferChange[]): Dropouts {
  const half = golfers.filter((golfer) => (golfer.before === null) !== (golfer.after === null));
  const measured = golfers.filter((golfer) => golfer.before !== null || golfer.after !== null);
  return {
    leavers: new Map([['one period', half.map((golfer) => golfer.golfer)]]),
    baselineDifference: null,
    share: new Map([['one period', measured.length === 0 ? 0 : half.length / measured.length]]),
    tipping: null,
    tippingInSds: null,
  };
}
