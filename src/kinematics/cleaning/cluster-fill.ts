import { rotate } from '../geometry/frames.ts';
import { type RigidPose, rigidPose } from '../geometry/rigid-pose.ts';
import { add, cross, norm, scale, subtract, type Vector } from '../geometry/vector.ts';
import type { Track } from '../trial.ts';
import { type Gap, gapsOf } from './gaps.ts';

const FEWEST_OTHERS = 3;
/** Frames on each side of a gap from which the place on the segment is taken. */
const REFERENCES = 5;
/** Markers further than this from their place in a rigid segment, as root mean square, are not rigid, m. */
const NOT_RIGID_M = 0.01;
/** Three markers span a plane when their triangle is at least this large, m^2. */
const LEAST_TRIANGLE_M2 = 1e-4;

/**
 * Fills gaps of a landmark from at least three others of its rigid segment: the pose that takes the others from a frame
 * beside the gap to a frame in it (least squares, Soderkvist and Wedin 1993) takes the landmark along. Five frames on
 * each side are used, those of the nearer side counting more, so that the path is not broken at either end. A frame
 * stays missing where fewer than three others are seen, where they lie in a line, or where they are off their
 * places by more than 10 mm (root mean square).
 *
 * @param track the landmark
 * @param others the other landmarks of its segment
 * @returns the gaps with `filled` telling which were, whole or in part
 */
export function fillFromCluster(
  track: Track,
  others: readonly Track[],
): { readonly track: Track; readonly gaps: readonly Gap[] } {
  const found = gapsOf(track.x);
  if (found.length === 0 || others.length < FEWEST_OTHERS) return { track, gaps: [] };
  const filled: Track = { x: track.x.slice(), y: track.y.slice(), z: track.z.slice() };
  const gaps: Gap[] = [];
  for (const { from, to } of found) {
    const before = seenFrames(track, from - 1, -1);
    const after = seenFrames(track, to + 1, 1);
    let start: number | null = null;
    for (let i = from; i <= to; i++) {
      const share = (i - from + 1) / (to - from + 2);
      const place = weigh(placeFrom(track, others, before, i), placeFrom(track, others, after, i), share);
      if (place) [filled.x[i], filled.y[i], filled.z[i]] = place;
      if (place && start === null) start = i;
      if (start !== null && (!place || i === to)) {
        gaps.push({ from: start, to: place ? i : i - 1, filled: true });
        start = null;
      }
    }
  }
  return { track: filled, gaps };
}

/** The nearest frames in which a landmark was seen, going one way. */
function seenFrames(track: Track, start: number, step: 1 | -1): number[] {
  const frames: number[] = [];
  for (let i = start; i >= 0 && i < track.x.length && frames.length < REFERENCES; i += step)
    if (!Number.isNaN(track.x[i]!)) frames.push(i);
  return frames;
}

/** Mean place of a landmark at a frame, carried there from some reference frames. */
function placeFrom(
  track: Track,
  others: readonly Track[],
  references: readonly number[],
  frame: number,
): Vector | null {
  let [sum, count]: [Vector, number] = [[0, 0, 0], 0];
  for (const reference of references) {
    const both = others.filter(({ x }) => !Number.isNaN(x[reference]!) && !Number.isNaN(x[frame]!));
    if (both.length < FEWEST_OTHERS) continue;
    const there = both.map((other) => at(other, reference));
    if (!spanPlane(there)) continue;
    const pose = rigidPose(
      there,
      both.map((other) => at(other, frame)),
    );
    if (pose.rms > NOT_RIGID_M) continue;
    sum = add(sum, moved(pose, at(track, reference)));
    count++;
  }
  return count === 0 ? null : scale(sum, 1 / count);
}

function weigh(before: Vector | null, after: Vector | null, share: number): Vector | null {
  if (!before || !after) return before ?? after;
  return add(scale(before, 1 - share), scale(after, share));
}

function moved({ rotation, translation }: RigidPose, point: Vector): Vector {
  return add(rotate(rotation, point), translation);
}

/** Whether three of the points make a triangle of some size. */
function spanPlane(points: readonly Vector[]): boolean {
  const [origin, ...rest] = points as [Vector, ...Vector[]];
  return rest.some((p, i) =>
    rest
      .slice(i + 1)
      .some((q) => norm(cross(subtract(p, origin), subtract(q, origin))) / 2 >= LEAST_TRIANGLE_M2),
  );
}

function at(track: Track, frame: number): Vector {
  return [track.x[frame]!, track.y[frame]!, track.z[frame]!];
}
