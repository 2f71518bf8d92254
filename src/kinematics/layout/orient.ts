import { cross, dot, norm, scale, subtract, unit, type Vector } from '../geometry/vector.ts';
import { pointOf } from '../instants/strike.ts';
import type { CaptureProblem, CaptureResult } from '../problem.ts';
import type { Track } from '../trial.ts';
import { axisVector, type Layout } from './layout.ts';

/** The lab axes as unit vectors of the file's axes: rows of the turning matrix, Z reversed for a left-hander. */
export interface LabAxes {
  readonly x: Vector;
  readonly y: Vector;
  readonly z: Vector;
}

/**
 * Lab axes: X toward the target along the ground, Y up, Z = X x Y. For a golfer who plays left Z is
 * reversed, so that everything measured afterwards is that of the mirror image.
 *
 * @param addressFrame where the ends of the target line are read; null averages them over the capture
 */
export function labAxes(
  layout: Layout,
  targetFrom: Track | null,
  targetTo: Track | null,
  addressFrame: number | null,
): CaptureResult<LabAxes> {
  const y = axisVector(layout.up);
  const line = layout.targetLine;
  let toward: Vector;
  if ('axis' in line) toward = axisVector(line.axis);
  else {
    const whole = line.at === 'whole capture' || addressFrame === null;
    const at = (track: Track): Vector => (whole ? meanOf(track) : pointOf(track, addressFrame));
    toward = subtract(at(targetTo!), at(targetFrom!));
  }
  const level = subtract(toward, scale(y, dot(toward, y)));
  if (!(norm(level) > 1e-3 * norm(toward))) return { ok: false, problems: [noDirection(layout)] };
  const x = unit(level);
  const z = cross(x, y);
  return { ok: true, value: { x, y, z: layout.plays === 'left' ? scale(z, -1) : z } };
}

/** A track turned into lab axes; the origin stays that of the file. */
export function toLab(track: Track, axes: LabAxes): Track {
  const along = (axis: Vector): Float64Array => {
    const out = new Float64Array(track.x.length);
    for (let i = 0; i < out.length; i++)
      out[i] = axis[0] * track.x[i]! + axis[1] * track.y[i]! + axis[2] * track.z[i]!;
    return out;
  };
  return { x: along(axes.x), y: along(axes.y), z: along(axes.z) };
}

/** A point turned into lab axes. */
export function pointToLab(point: Vector, axes: LabAxes): Vector {
  return [dot(axes.x, point), dot(axes.y, point), dot(axes.z, point)];
}

function meanOf(track: Track): Vector {
  const mean = (values: Float64Array): number => {
    const seen = values.filter((v) => !Number.isNaN(v));
    return seen.reduce((sum, v) => sum + v, 0) / seen.length;
  };
  return [mean(track.x), mean(track.y), mean(track.z)];
}

function noDirection(layout: Layout): CaptureProblem {
  return {
    where: 'layout /targetLine',
    found: 'two channels that are not seen at address, or stand one above the other',
    expected: `a line along the ground (up is ${layout.up})`,
    remedy: 'Name two channels that are apart along the ground, or give the target line as an axis.',
  };
}
