import type { Resolution } from '../../shared/smallest-change.ts';
import type { GolferCurve } from '../input/golfer-curves.ts';
import type { LaidOut } from '../input/lay-out.ts';

/**
 * How noisy a golfer's mean curve is and how much golfers differ, averaged over the axis: from the scatter of a golfer's
 * swings within a phase, and of golfers' mean curves within a group before (after, where nothing was measured before).
 */
export function curveResolution(laid: LaidOut, golfers: readonly GolferCurve[]): Resolution {
  const inUse = new Set(golfers.flatMap(({ swings }) => swings.map(({ swing }) => swing)));
  const cells = new Map<string, Float64Array[]>();
  for (const { swing, values } of laid.swings) {
    if (!inUse.has(swing.swing)) continue;
    const key = JSON.stringify([swing.golfer, swing.phase]);
    cells.set(key, [...(cells.get(key) ?? []), values]);
  }
  const scatter = pooledVariance([...cells.values()]);
  const sizes = [...cells.values()].map((list) => list.length);
  const perMean = sizes.reduce((sum, n) => sum + 1 / n, 0) / sizes.length;
  const noise = scatter === null ? null : scatter * perMean;
  const atBaseline = golfers.every(({ before }) => before !== null);
  const groups = new Map<string, Float64Array[]>();
  for (const { group, before, after, row } of golfers) {
    const curve = (atBaseline ? before : after) ?? row;
    groups.set(group, [...(groups.get(group) ?? []), curve]);
  }
  const spread = pooledVariance([...groups.values()]);
  return {
    typicalError: noise === null ? null : Math.sqrt(noise),
    from: "from the scatter of each golfer's own swings, averaged over the downswing; days are not told apart",
    betweenSd: spread === null ? null : Math.sqrt(Math.max(0, spread - (noise ?? 0))),
    atBaseline,
  };
}

/** Mean over the nodes of the variance within lists of curves; null where no list has two. */
function pooledVariance(lists: readonly (readonly Float64Array[])[]): number | null {
  let sum = 0;
  let freedom = 0;
  for (const list of lists) {
    if (list.length < 2) continue;
    freedom += list.length - 1;
    const nodes = list[0]!.length;
    for (let q = 0; q < nodes; q++) {
      const mean = list.reduce((total, curve) => total + curve[q]!, 0) / list.length;
      for (const curve of list) sum += (curve[q]! - mean) ** 2 / nodes;
    }
  }
  return freedom === 0 ? null : sum / freedom;
}
