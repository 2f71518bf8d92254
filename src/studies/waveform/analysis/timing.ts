import { studentUpperQuantile } from '../../../numerics/index.ts';
import { curveScores, curvesFrom, tField } from '../../../stats/index.ts';
import type { WaveformTiming } from '../../waveform-tables.ts';
import type { Comparison } from '../input/comparison.ts';
import { type GolferCurve, questionOf } from '../input/golfer-curves.ts';
import { mean } from '../input/lay-out.ts';

/**
 * How instants between top and impact moved, in per cent of the downswing: what registration takes out of the curves. Golfers'
 * means are compared as the curves are; intervals hold for all instants together (Bonferroni).
 */
export function timingRows(
  kind: Comparison['kind'],
  golfers: readonly GolferCurve[],
  instants: readonly string[],
  level: number,
): WaveformTiming[] {
  if (instants.length === 0) return [];
  const rows = golfers.flatMap((golfer) => {
    const times = instants.map((name) => compared(kind, golfer, name));
    return times.some((time) => Number.isNaN(time)) ? [] : [{ golfer, times }];
  });
  if (rows.length < 4) return [];
  if (kind !== 'before-after' && new Set(rows.map(({ golfer }) => golfer.x)).size < 2) return [];
  const question = questionOf(
    kind,
    rows.map(({ golfer }) => golfer),
  );
  const { effect, standardError, degreesOfFreedom } = tField(
    curveScores(curvesFrom(rows.map(({ times }) => times)), question),
  );
  const reach = studentUpperQuantile((1 - level) / 2 / instants.length, degreesOfFreedom);
  return instants.map((instant, k) => ({
    instant,
    difference: effect[k]!,
    interval: [effect[k]! - reach * standardError[k]!, effect[k]! + reach * standardError[k]!],
  }));
}

function compared(kind: Comparison['kind'], { swings }: GolferCurve, name: string): number {
  const at = (phase: string | null) =>
    mean(
      swings
        .filter((swing) => (phase === null || swing.phase === phase) && swing.instants.has(name))
        .map(({ instants }) => instants.get(name)!),
    );
  return kind === 'arms-change' || kind === 'before-after' ? at('post') - at('baseline') : at(null);
}
