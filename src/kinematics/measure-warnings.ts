import type { Gap } from './cleaning/gaps.ts';
import type { SegmentLength } from './cleaning/rigidity.ts';
import { FEWEST_SAMPLES_A_PERIOD, type Smoother } from './cleaning/smooth.ts';
import { FAR_MISS_M } from './instants/impact.ts';
import { largestChange } from './metrics/report.ts';

/** Change of a rigid segment's length, as a share of it, that is worth a word. */
const CHANGE_WORTH_SAYING = 0.05;

export function missWarning(miss_m: number | null): string[] {
  if (miss_m === null || miss_m <= FAR_MISS_M) return [];
  return [
    `The club head passes ${cm(miss_m)} cm from where the ball is taken to be: impact is uncertain by a frame. Give the ball in the layout, or check whether the capture was smoothed before it was exported.`,
  ];
}

export function coarseWarnings(
  smoothers: Readonly<Record<'body' | 'club', Smoother>>,
  rateHz: number,
): string[] {
  return (['body', 'club'] as const).flatMap((kind) => {
    const { filter, cutoffHz } = smoothers[kind];
    if (filter) return [];
    return [
      `At ${rateHz.toFixed(1)} Hz the ${kind} markers were left unfiltered: a cut-off of ${cutoffHz} Hz needs ${FEWEST_SAMPLES_A_PERIOD * cutoffHz} Hz.`,
    ];
  });
}

export function gapWarnings(
  gaps: readonly (Gap & { readonly landmark: string })[],
  rateHz: number,
): string[] {
  const byLandmark = new Map<string, { filled: number; left: number; longest: number }>();
  for (const gap of gaps) {
    const entry = byLandmark.get(gap.landmark) ?? { filled: 0, left: 0, longest: 0 };
    const length = gap.to - gap.from + 1;
    if (gap.filled) entry.filled += length;
    else {
      entry.left += length;
      entry.longest = Math.max(entry.longest, length);
    }
    byLandmark.set(gap.landmark, entry);
  }
  return [...byLandmark].flatMap(([landmark, { filled, left, longest }]) => {
    const parts: string[] = [];
    if (filled > 0)
      parts.push(`${filled} frames of ${landmark} were missing in short gaps and were filled by a spline.`);
    if (left > 0)
      parts.push(
        `${left} frames of ${landmark} are missing and were not filled (the longest gap lasts ${Math.round((1000 * longest) / rateHz)} ms).`,
      );
    return parts;
  });
}

export function rigidityWarnings(
  segments: readonly SegmentLength[],
  takeaway: number,
  split: number | null,
): string[] {
  if (split === null) return [];
  return segments.flatMap((segment) => {
    const change = largestChange(segment, takeaway, split);
    if (Math.abs(change) < CHANGE_WORTH_SAYING * segment.usual_m) return [];
    const [from, to] = segment.pair;
    return [
      `The distance from ${from} to ${to} should stay ${cm(segment.usual_m)} cm but changes by ${cm(change)} cm between takeaway and impact: markers that moved, or a capture smoothed until its fast parts shrank. The uncertainty of what is read from them there was raised to match.`,
    ];
  });
}

function cm(metres: number): string {
  return (metres * 100).toFixed(1);
}
