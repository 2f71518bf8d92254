import { filterInPlace } from '../../numerics/index.ts';
import type { Track } from '../trial.ts';
import { runsOf } from './gaps.ts';
import type { LowPass } from './smoother.ts';

/**
 * Filters each run of seen samples of a track, zero lag. A run that spans `split` (the last frame before
 * impact) is filtered as two, so that contact does not smear; null filters through.
 *
 * Each run is continued beyond its ends by reflection about its own trend: a cubic fitted to the last 0.8 of a
 * period is carried on and the residuals are mirrored onto it. Two passes of a second-order Butterworth leave
 * a cubic as it is, so that unlike plain odd reflection, which turns an acceleration round, this keeps speed
 * and curvature at the end, where the readings at impact are. A capture with fewer than five samples to a
 * period of the cut-off is left as it is.
 */
export function smoothTrack(track: Track, lowPass: LowPass, split: number | null): Track {
  const runs = runsOf(track.x).flatMap((run) =>
    split !== null && run.from <= split && run.to > split
      ? [
          { from: run.from, to: split },
          { from: split + 1, to: run.to },
        ]
      : [run],
  );
  const smooth = (values: Float64Array): Float64Array => {
    const out = values.slice();
    for (const { from, to } of runs) smoothRun(out.subarray(from, to + 1), lowPass);
    return out;
  };
  return { x: smooth(track.x), y: smooth(track.y), z: smooth(track.z) };
}

/** Filters one run of samples in place. */
export function smoothRun(values: Float64Array, { filter, pad, trend, ahead }: LowPass): void {
  const n = values.length;
  if (n < 6 || !filter) return;
  const reach = Math.min(pad, n - 1);
  const work = new Float64Array(n + 2 * reach);
  work.set(values, reach);
  for (let row = 0; row < reach; row++) {
    const [before, after] = [reach - 1 - row, reach + n + row];
    if (trend > n) {
      // Too short for a trend: plain odd reflection.
      work[before] = 2 * values[0]! - values[row + 1]!;
      work[after] = 2 * values[n - 1]! - values[n - 2 - row]!;
      continue;
    }
    let [start, end] = [0, 0];
    for (let i = 0, at = row * trend; i < trend; i++, at++) {
      start += ahead[at]! * values[i]!;
      end += ahead[at]! * values[n - 1 - i]!;
    }
    work[before] = start;
    work[after] = end;
  }
  filterInPlace(work, filter);
  values.set(work.subarray(reach, reach + n));
}
