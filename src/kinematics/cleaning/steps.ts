import type { Track } from '../trial.ts';

/** A place where a landmark moves further at once than it can: frames last seen before and first seen after. */
export interface Step {
  readonly before: number;
  readonly after: number;
}

/** A marker does not leave its way by more than this between two frames, beside its noise and half its own speed, m. */
const LEAST_STEP_M = 0.03;
const NOISE_MULTIPLE = 8;
const SHARE_OF_SPEED = 0.5;
/** Over longer gaps nothing is said, s. */
const LONGEST_JUDGED_S = 0.05;

/**
 * Steps in the path of a landmark: its place in a frame differs both from where its motion before would have taken it
 * and from where its motion afterwards came from by more than 3 cm, 8 standard deviations of its noise and half of
 * what it moves in a frame. A sudden change of speed alone, as at impact, is no step.
 */
export function findSteps(track: Track, rateHz: number, noise: number): Step[] {
  const steps: Step[] = [];
  const furthest = longestJudged(rateHz);
  let before = -1;
  for (let after = 0; after < track.x.length; after++) {
    if (Number.isNaN(track.x[after]!)) continue;
    if (before >= 0 && after - before <= furthest && !follows(track, before, track, after, noise))
      steps.push({ before, after });
    before = after;
  }
  return steps;
}

/** Frames of the longest gap over which steps are judged. */
export function longestJudged(rateHz: number): number {
  return Math.max(1, Math.round(LONGEST_JUDGED_S * rateHz));
}

/**
 * Whether the path of `earlier` up to frame `m` is carried on by that of `later` from frame `k` on. True where
 * neither motion is known, which says nothing against it.
 */
export function follows(earlier: Track, m: number, later: Track, k: number, noise: number): boolean {
  const frames = k - m;
  let [bx, by, bz, ax, ay, az] = [Number.NaN, 0, 0, Number.NaN, 0, 0];
  if (m > 0) {
    bx = earlier.x[m]! - earlier.x[m - 1]!;
    by = earlier.y[m]! - earlier.y[m - 1]!;
    bz = earlier.z[m]! - earlier.z[m - 1]!;
  }
  if (k + 1 < later.x.length) {
    ax = later.x[k + 1]! - later.x[k]!;
    ay = later.y[k + 1]! - later.y[k]!;
    az = later.z[k + 1]! - later.z[k]!;
  }
  const [dx, dy, dz] = [
    later.x[k]! - earlier.x[m]!,
    later.y[k]! - earlier.y[m]!,
    later.z[k]! - earlier.z[m]!,
  ];
  const off = (vx: number, vy: number, vz: number): number => {
    const square = (dx - vx * frames) ** 2 + (dy - vy * frames) ** 2 + (dz - vz * frames) ** 2;
    return Number.isNaN(square) ? Number.POSITIVE_INFINITY : square;
  };
  const [knownBefore, knownAfter] = [!Number.isNaN(bx), !Number.isNaN(ax)];
  if (!knownBefore && !knownAfter) return true;
  let least = Number.POSITIVE_INFINITY;
  let speed = Number.POSITIVE_INFINITY;
  if (knownBefore) {
    least = off(bx, by, bz);
    speed = Math.sqrt(bx * bx + by * by + bz * bz);
  }
  if (knownAfter) {
    least = Math.min(least, off(ax, ay, az));
    speed = Math.min(speed, Math.sqrt(ax * ax + ay * ay + az * az));
  }
  if (knownBefore && knownAfter) least = Math.min(least, off((ax + bx) / 2, (ay + by) / 2, (az + bz) / 2));
  const limit = LEAST_STEP_M + NOISE_MULTIPLE * noise * frames + SHARE_OF_SPEED * speed * frames;
  return least <= limit * limit;
}
