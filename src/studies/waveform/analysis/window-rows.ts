import type { NodeWindow } from '../../../stats/index.ts';
import type { SmallestChange } from '../../finding.ts';
import type { WaveformWindow } from '../../waveform-tables.ts';
import type { CurveComparison } from './compare-curves.ts';
import { mattersWindows } from './curve-verdict.ts';

/** Each window with the difference at its peak and on average inside, both with intervals that hold whichever is looked at. */
export function windowRows(
  compared: CurveComparison,
  times: readonly number[],
  smallest: SmallestChange | null,
): WaveformWindow[] {
  const { effect, band, windows } = compared;
  if (band === null) return [];
  const matters = mattersWindows(compared, smallest);
  return windows.map((window) => {
    const near = (q: number) => (window.sign === 1 ? band.low[q]! : -band.high[q]!);
    let peak = window.from;
    for (let q = window.from; q <= window.to; q++) if (near(q) > near(peak)) peak = q;
    return {
      from: times[window.from]!,
      to: times[window.to]!,
      peakAt: times[peak]!,
      peak: effect[peak]!,
      peakInterval: [band.low[peak]!, band.high[peak]!],
      mean: meanOver(effect, window),
      meanInterval: [meanOver(band.low, window), meanOver(band.high, window)],
      matters: matters
        .filter(({ from, to }) => from >= window.from && to <= window.to)
        .map(({ from, to }) => ({ from: times[from]!, to: times[to]! })),
    };
  });
}

function meanOver(values: Float64Array, { from, to }: NodeWindow): number {
  let sum = 0;
  for (let q = from; q <= to; q++) sum += values[q]!;
  return sum / (to - from + 1);
}
