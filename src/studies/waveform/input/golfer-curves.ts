import type { CurveQuestion } from '../../../stats/index.ts';
import type { Phase } from '../../shared/roster.ts';
import type { Comparison } from './comparison.ts';
import type { LaidOut } from './lay-out.ts';
import type { SwingCurve } from './swing-curves.ts';

/** A golfer's mean curves, and the row that enters the comparison. */
export interface GolferCurve {
  readonly golfer: string;
  /** The group it is drawn with. */
  readonly group: string;
  readonly before: Float64Array | null;
  readonly after: Float64Array | null;
  /** What is compared: a change, a difference or a mean. */
  readonly row: Float64Array;
  /** 1 in the group asked about, 0 in the other; the golfer's number in a comparison by number. */
  readonly x: number;
  readonly swings: readonly SwingCurve[];
}

export interface GolferCurves {
  readonly golfers: readonly GolferCurve[];
  readonly leftOut: readonly { readonly id: string; readonly why: string }[];
}

/**
 * One row for each golfer: the mean over the golfer's swings of a phase, or its change. Swings of one golfer are like one
 * another and never count as independent.
 */
export function golferCurves(laid: LaidOut, comparison: Comparison): GolferCurves {
  const own = new Map<string, LaidOut['swings'][number][]>();
  for (const entry of laid.swings) {
    const list = own.get(entry.swing.golfer);
    if (list === undefined) own.set(entry.swing.golfer, [entry]);
    else list.push(entry);
  }
  const golfers: GolferCurve[] = [];
  const leftOut: { id: string; why: string }[] = [];
  const phases = new Set(laid.swings.map(({ swing }) => swing.phase));
  const needed = phasesNeeded(comparison, phases);
  for (const [golfer, entries] of [...own].sort(([a], [b]) => (a < b ? -1 : 1))) {
    const leave = (list: typeof entries, why: string) => {
      for (const { swing } of list) leftOut.push({ id: swing.swing, why });
    };
    const place = placeOf(golfer, comparison);
    if (typeof place === 'string') {
      leave(entries, place);
      continue;
    }
    const at = (phase: Phase) => entries.filter(({ swing }) => swing.phase === phase);
    const used = needed.filter((phase) => at(phase).length > 0);
    leave(
      entries.filter(({ swing }) => !needed.includes(swing.phase)),
      'measured in a phase that is not compared',
    );
    if (comparison.kind === 'by-number' ? used.length === 0 : used.length < needed.length) {
      leave(
        entries.filter(({ swing }) => needed.includes(swing.phase)),
        'a golfer without curves in every phase that is compared',
      );
      continue;
    }
    const before = meanCurve(at('baseline'));
    const after = meanCurve(at('post'));
    const kept = entries.filter(({ swing }) => needed.includes(swing.phase));
    const row =
      comparison.kind === 'by-number'
        ? meanCurve(kept)!
        : comparison.kind === 'arms-after'
          ? after!
          : after!.map((value, q) => value - before![q]!);
    golfers.push({ golfer, ...place, before, after, row, swings: kept.map(({ swing }) => swing) });
  }
  return { golfers, leftOut };
}

/** The phases whose swings enter: in a comparison by number the baseline, or everything where there is none. */
function phasesNeeded(comparison: Comparison, present: ReadonlySet<Phase>): readonly Phase[] {
  if (comparison.kind === 'arms-after') return ['post'];
  if (comparison.kind !== 'by-number') return ['baseline', 'post'];
  return present.has('baseline') ? ['baseline'] : [...present];
}

function placeOf(
  golfer: string,
  comparison: Comparison,
): { readonly group: string; readonly x: number } | string {
  if (comparison.kind === 'by-number') {
    const x = comparison.of.get(golfer);
    return x === undefined ? `a golfer without ${comparison.label}` : { group: 'all golfers', x };
  }
  const { arms } = comparison;
  const arm = arms?.of.get(golfer);
  if (comparison.kind === 'before-after')
    return comparison.only === null || arm === comparison.only
      ? { group: arm ?? 'all golfers', x: 1 }
      : `a golfer who is not in '${comparison.only}'`;
  if (arm === undefined) return 'a golfer who was not assigned to an arm';
  if (arm !== arms!.first && arm !== arms!.second) return 'a golfer in an arm that is not compared';
  return { group: arm, x: arm === arms!.first ? 1 : 0 };
}

function meanCurve(entries: LaidOut['swings']): Float64Array | null {
  const first = entries[0];
  if (first === undefined) return null;
  const sum = new Float64Array(first.values.length);
  for (const { values } of entries) for (let q = 0; q < sum.length; q++) sum[q]! += values[q]!;
  return sum.map((value) => value / entries.length);
}

/** The question that a comparison puts to its rows. */
export function questionOf(kind: Comparison['kind'], golfers: readonly GolferCurve[]): CurveQuestion {
  if (kind === 'before-after') return { kind: 'one-sample' };
  if (kind === 'by-number') return { kind: 'regression', predictor: golfers.map(({ x }) => x) };
  return { kind: 'two-sample', second: golfers.map(({ x }) => x === 1) };
}
