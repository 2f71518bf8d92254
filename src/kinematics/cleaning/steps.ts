import { midpoint, norm, scale, subtract, type Vector } from '../geometry/vector.ts';
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
  const { x, y, z } = track;
  const steps: Step[] = [];
  const furthest = Math.max(1, Math.round(LONGEST_JUDGED_S * rateHz));
  let before = -1;
  for (let after = 0; after < x.length; after++) {
    if (Number.isNaN(x[after]!)) continue;
    const frames = after - before;
    if (
      before >= 0 &&
      frames <= furthest &&
      !nearRestOfPath(x, y, z, after) &&
      !follows(track, before, track, after, noise)
    )
      steps.push({ before, after });
    before = after;
  }
  return steps;
}

/** Most samples, looked at first: within 3 cm of where the two before lead; false where one of them was not seen. */
function nearRestOfPath(x: Float64Array, y: Float64Array, z: Float64Array, i: number): boolean {
  if (i < 2) return false;
  const dx = x[i]! - 2 * x[i - 1]! + x[i - 2]!;
  const dy = y[i]! - 2 * y[i - 1]! + y[i - 2]!;
  const dz = z[i]! - 2 * z[i - 1]! + z[i - 2]!;
  return dx * dx + dy * dy + dz * dz <= LEAST_STEP_M * LEAST_STEP_M;
}

/**
 * Whether the path of `earlier` up to frame `m` is carried on by that of `later` from frame `k` on. True where
 * neither motion is known, which says nothing against it.
 */
export function follows(earlier: Track, m: number, later: Track, k: number, noise: number): boolean {
  const frames = k - m;
  const before = m > 0 ? between(earlier, m - 1, m) : UNKNOWN;
  const after = k + 1 < later.x.length ? between(later, k, k + 1) : UNKNOWN;
  const [knownBefore, knownAfter] = [!Number.isNaN(before[0]), !Number.isNaN(after[0])];
  if (!knownBefore && !knownAfter) return true;
  const moved: Vector = [
    later.x[k]! - earlier.x[m]!,
    later.y[k]! - earlier.y[m]!,
    later.z[k]! - earlier.z[m]!,
  ];
  const velocities: Vector[] = [];
  if (knownBefore) velocities.push(before);
  if (knownAfter) velocities.push(after);
  const speed = Math.min(...velocities.map(norm));
  if (knownBefore && knownAfter) velocities.push(midpoint(before, after));
  const off = Math.min(...velocities.map((v) => norm(subtract(moved, scale(v, frames)))));
  return off <= LEAST_STEP_M + (NOISE_MULTIPLE * noise + SHARE_OF_SPEED * speed) * frames;
}

const UNKNOWN: Vector = [Number.NaN, Number.NaN, Number.NaN];

function between({ x, y, z }: Track, i: number, j: number): Vector {
  return [x[j]! - x[i]!, y[j]! - y[i]!, z[j]! - z[i]!];
}
