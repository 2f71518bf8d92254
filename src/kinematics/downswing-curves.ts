import { cubicSpline, evaluateSpline } from '../numerics/index.ts';
import type { FoundInstants } from './metrics/reader.ts';
import type { Motion } from './motion.ts';
import type { Series } from './series.ts';

/** Quantities over the downswing of one swing. */
export interface DownswingCurves {
  /** By id of the quantity, deg: values at each whole per cent of the downswing from 0 (top) to 100 (impact). */
  readonly values: Readonly<Record<string, readonly number[]>>;
  /** Per cent of the downswing at which instants between top and impact were found. */
  readonly instants_pct: Readonly<Record<string, number>>;
}

/** Frames before the top that the spline leans on, so that the top is not at its end. */
const BEFORE_TOP = 3;
/** What is kept of an angle, deg: far below what any marker resolves. */
const KEPT = 1e4;

/**
 * Trail elbow flexion and lag over the downswing, from the filtered series by the spline through its frames up to the last
 * before impact; impact itself lies at most one frame beyond. A quantity with a frame missing has no curve; without top or
 * impact there is none at all.
 */
export function downswingCurves(
  motion: Motion,
  series: Pick<Series, 'flexion' | 'lag'>,
  instants: FoundInstants,
): DownswingCurves | null {
  const frameOf = (name: keyof FoundInstants): number | null => {
    const found = instants[name];
    return 'instant' in found ? found.instant.frame : null;
  };
  const [top, impact] = [frameOf('top'), frameOf('impact')];
  if (top === null || impact === null || !(impact > top)) return null;
  const from = Math.max(0, Math.floor(top) - BEFORE_TOP);
  const to = Math.min(motion.frames - 1, motion.split ?? Math.floor(impact));
  const values: Record<string, readonly number[]> = {};
  for (const [quantity, track] of [
    ['trail_elbow_flexion', series.flexion],
    ['lag_angle', series.lag],
  ] as const) {
    const own = track.slice(from, to + 1);
    if (own.length < 4 || own.some(Number.isNaN)) continue;
    const spline = cubicSpline(
      Float64Array.from(own, (_, k) => from + k),
      own,
    );
    values[quantity] = Array.from(
      { length: 101 },
      (_, pct) => Math.round(KEPT * evaluateSpline(spline, top + ((impact - top) * pct) / 100)) / KEPT,
    );
  }
  const instants_pct: Record<string, number> = {};
  for (const name of ['lead arm parallel', 'delivery'] as const) {
    const frame = frameOf(name);
    if (frame !== null && frame > top && frame < impact)
      instants_pct[name] = Math.round((KEPT * 100 * (frame - top)) / (impact - top)) / KEPT;
  }
  return Object.keys(values).length === 0 ? null : { values, instants_pct };
}
