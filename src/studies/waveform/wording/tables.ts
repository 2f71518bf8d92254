import { maximumP } from '../../../stats/index.ts';
import type { WaveformTables, WaveformTiming, WaveformWindow } from '../../waveform-tables.ts';
import type { GolferCurve } from '../input/golfer-curves.ts';
import type { ComparisonWords } from './comparison-words.ts';
import type { FindingParts } from './write-finding.ts';

/** What the figures and tables of the page are drawn from. */
export function curveTables(
  parts: FindingParts,
  words: ComparisonWords,
  windows: readonly WaveformWindow[],
  timing: readonly WaveformTiming[],
): WaveformTables {
  const { laid, golfers, answer } = parts;
  const { compared } = answer;
  const { kind, label, unit, marks, times } = laid.axis;
  const fwhm = compared.smoothness.fwhmNodes * Math.abs(times[1]! - times[0]!);
  return {
    axis: { kind, label, unit, marks },
    differenceWords: words.difference,
    curves: meanCurves(parts),
    golfers: golfers.map(({ golfer, group, swings, row }) => ({
      golfer,
      group,
      swings: swings.length,
      values: [...row],
    })),
    nodes: times.map((time, q) => ({
      time,
      difference: compared.effect[q]!,
      low: compared.band?.low[q] ?? null,
      high: compared.band?.high[q] ?? null,
      t: compared.t[q]!,
      p: maximumP(compared.distribution, compared.t[q]!).value,
    })),
    windows,
    timing,
    methods: {
      critical: compared.critical,
      arrangements: compared.distribution.count,
      exact: compared.distribution.exact,
      p: compared.p.value,
      monteCarloError: compared.p.monteCarloError,
      randomFieldThreshold: compared.randomField.value,
      randomFieldBy: compared.randomField.by,
      fwhm: Number.isFinite(fwhm) ? fwhm : null,
    },
  };
}

function meanCurves({ comparison, golfers, answer }: FindingParts): WaveformTables['curves'] {
  const of = (name: string, list: readonly GolferCurve[], pick: 'before' | 'after') => ({
    name,
    values: meanOf(list.flatMap((golfer) => (golfer[pick] === null ? [] : [golfer[pick]]))),
  });
  switch (comparison.kind) {
    case 'arms-change':
    case 'arms-after': {
      const groups = [comparison.arms.first, comparison.arms.second].map(
        (arm) => [arm, golfers.filter(({ group }) => group === arm)] as const,
      );
      return groups.flatMap(([arm, list]) => [
        of(`${arm}, after`, list, 'after'),
        ...(comparison.kind === 'arms-change' ? [of(`${arm}, before`, list, 'before')] : []),
      ]);
    }
    case 'before-after':
      return [of('after', golfers, 'after'), of('before', golfers, 'before')];
    case 'by-number': {
      const middle = meanOf(golfers.map(({ row }) => row));
      const slope = answer.compared.effect;
      return [
        {
          name: `${comparison.label} one SD above the mean`,
          values: middle.map((value, q) => value + slope[q]!),
        },
        {
          name: `${comparison.label} one SD below the mean`,
          values: middle.map((value, q) => value - slope[q]!),
        },
      ];
    }
  }
}

function meanOf(curves: readonly Float64Array[]): number[] {
  return Array.from(
    curves[0] ?? [],
    (_, q) => curves.reduce((sum, curve) => sum + curve[q]!, 0) / curves.length,
  );
}
