import type { Repair } from './cleaning/repair.ts';
import type { SegmentLength } from './cleaning/rigidity.ts';
import { FEWEST_SAMPLES_A_PERIOD } from './cleaning/smoother.ts';
import { FAR_MISS_M } from './instants/impact.ts';
import { largestChange } from './metrics/report.ts';
import type { Motion } from './motion.ts';
import type { FilledGap } from './prepare-trial.ts';
import type { ChosenProcessing } from './processing-options.ts';

/** Change of a rigid segment's length, as a share of it, that is worth a word. */
const CHANGE_WORTH_SAYING = 0.05;

export function missWarning(miss_m: number | null): string[] {
  if (miss_m === null || miss_m <= FAR_MISS_M) return [];
  return [
    `The club head passes ${cm(miss_m)} cm from where the ball is taken to be: impact is uncertain by a frame. Give the ball in the layout, or check whether the capture was smoothed before it was exported.`,
  ];
}

export function coarseWarnings({ landmarks, rateHz }: Motion): string[] {
  const unfiltered = new Map<number, string[]>();
  for (const [name, { smoother }] of landmarks)
    if (!smoother.filter)
      unfiltered.set(smoother.cutoffHz, [...(unfiltered.get(smoother.cutoffHz) ?? []), name]);
  return [...unfiltered].map(
    ([cutoffHz, names]) =>
      `At ${rateHz.toFixed(1)} Hz ${names.join(', ')} ${names.length === 1 ? 'was' : 'were'} left unfiltered: a cut-off of ${cutoffHz} Hz needs ${FEWEST_SAMPLES_A_PERIOD * cutoffHz} Hz.`,
  );
}

/** Against planted swings: the fastest straightening of the elbow comes out more than a third too slow with 1 mm of noise. */
export function cutoffWarnings(motion: Motion, { cutoff }: ChosenProcessing): string[] {
  if (cutoff !== 'by residual analysis') return [];
  const { body, club } = motion.cutoffHz;
  return [
    `Cut-offs by residual analysis (from ${Math.min(body, club)} Hz) lose as much motion as they let noise through: peaks of speed and of angles come out too small, and their _sd does not say so. Use the default cut-offs for those.`,
  ];
}

export function repairWarnings(repairs: readonly Repair[], firstFrame: number): string[] {
  return repairs.map(({ found, landmarks, from, to, done, because }) => {
    const [first, last] = [from + firstFrame, to + firstFrame];
    const frames = first === last ? `frame ${first}` : `frames ${first} to ${last}`;
    const what = {
      'exchanged markers': `${landmarks.join(' and ')} are exchanged in ${frames}`,
      'marker away from its place': `${landmarks.join(', ')} is away from its place in ${frames}`,
      'step in a path': `The path of ${landmarks.join(', ')} steps aside at one end of ${frames}`,
      'same marker twice': `${landmarks.join(' and ')} are one marker in ${frames}`,
    }[found];
    return `${what}: ${done === 'kept' ? 'kept as it is' : done} (${because}).`;
  });
}

export function gapWarnings(gaps: readonly FilledGap[], rateHz: number): string[] {
  const byLandmark = new Map<string, { spline: number; segment: number; left: number; longest: number }>();
  for (const { landmark, from, to, filledBy } of gaps) {
    const entry = byLandmark.get(landmark) ?? { spline: 0, segment: 0, left: 0, longest: 0 };
    byLandmark.set(landmark, entry);
    const length = to - from + 1;
    if (filledBy === 'spline') entry.spline += length;
    else if (filledBy === 'rigid segment') entry.segment += length;
    else {
      entry.left += length;
      entry.longest = Math.max(entry.longest, length);
    }
  }
  return [...byLandmark].flatMap(([landmark, { spline, segment, left, longest }]) => {
    const parts: string[] = [];
    if (spline > 0)
      parts.push(`${spline} frames of ${landmark} were missing in short gaps and were filled by a spline.`);
    if (segment > 0)
      parts.push(
        `${segment} frames of ${landmark} were missing and were filled from the other markers of its rigid segment.`,
      );
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
