import { cubicSpline, evaluateSpline } from '../../numerics/index.ts';
import type { Track } from '../trial.ts';

/** Frames from..to (inclusive, counted from 0) in which a landmark was not seen. */
export interface Gap {
  readonly from: number;
  readonly to: number;
  readonly filled: boolean;
}

/** Samples on each side of a gap that the filling spline passes through. */
const NEIGHBOURS = 6;

/**
 * Fills gaps of at most `longest` frames with a cubic spline through up to six seen samples on each side. Longer
 * gaps, and those at the start or end of the recording, are left as NaN. Frames before `split` never help to fill
 * a gap after it or the other way round, so that nothing is carried through impact.
 */
export function fillGaps(
  track: Track,
  longest: number,
  split: number | null = null,
): { readonly track: Track; readonly gaps: readonly Gap[] } {
  const found = gapsOf(track.x);
  if (found.length === 0) return { track, gaps: [] };
  const filled: Track = { x: track.x.slice(), y: track.y.slice(), z: track.z.slice() };
  const gaps = found.map((gap) => {
    const sides = neighbours(track.x, gap);
    const through = split !== null && gap.from <= split && gap.to >= split;
    const possible =
      gap.to - gap.from + 1 <= longest && !through && sides.before.length >= 2 && sides.after.length >= 2;
    if (!possible) return { ...gap, filled: false };
    const at = [...sides.before, ...sides.after];
    for (const axis of ['x', 'y', 'z'] as const) {
      const source = track[axis];
      const spline = cubicSpline(
        Float64Array.from(at),
        Float64Array.from(at, (i) => source[i]!),
      );
      for (let i = gap.from; i <= gap.to; i++) filled[axis][i] = evaluateSpline(spline, i);
    }
    return { ...gap, filled: true };
  });
  return { track: filled, gaps };
}

/** Runs of frames in which `values` is not a number. */
export function gapsOf(values: Float64Array): { readonly from: number; readonly to: number }[] {
  const gaps: { from: number; to: number }[] = [];
  for (let i = 0; i < values.length; i++) {
    if (!Number.isNaN(values[i]!)) continue;
    const from = i;
    while (i + 1 < values.length && Number.isNaN(values[i + 1]!)) i++;
    gaps.push({ from, to: i });
  }
  return gaps;
}

/** Runs of frames in which `values` is a number. */
export function runsOf(values: Float64Array): { readonly from: number; readonly to: number }[] {
  const runs: { from: number; to: number }[] = [];
  for (let i = 0; i < values.length; i++) {
    if (Number.isNaN(values[i]!)) continue;
    const from = i;
    while (i + 1 < values.length && !Number.isNaN(values[i + 1]!)) i++;
    runs.push({ from, to: i });
  }
  return runs;
}

function neighbours(
  values: Float64Array,
  gap: { readonly from: number; readonly to: number },
): { readonly before: number[]; readonly after: number[] } {
  const before: number[] = [];
  for (let i = gap.from - 1; i >= 0 && before.length < NEIGHBOURS; i--) {
    if (Number.isNaN(values[i]!)) break;
    before.unshift(i);
  }
  const after: number[] = [];
  for (let i = gap.to + 1; i < values.length && after.length < NEIGHBOURS; i++) {
    if (Number.isNaN(values[i]!)) break;
    after.push(i);
  }
  return { before, after };
}
