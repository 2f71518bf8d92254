import { rigidityVariance, type SegmentLength } from '../cleaning/rigidity.ts';
import { type FittedPlane, fitPlane, tilted } from '../geometry/plane.ts';
import { norm, scale, subtract, type Vector } from '../geometry/vector.ts';
import { pointOf } from '../instants/strike.ts';
import type { Motion } from '../motion.ts';
import { type Path, type Tilt, tiltOfEnd, tiltOfNoise } from './plane-tilt.ts';
import type { FoundInstants, Outcome } from './reader.ts';

/** Which path a swing plane is fitted to, and from which instant; it always ends at impact. */
export interface PlaneChoice {
  readonly path: 'club head' | 'shaft';
  readonly from: 'top' | 'lead arm parallel' | 'delivery';
}

export const DEFAULT_PLANE: PlaneChoice = { path: 'club head', from: 'delivery' };
export const PLANE_PARTS = ['top', 'lead arm parallel', 'delivery'] as const;

const LANDMARKS: Readonly<Record<PlaneChoice['path'], readonly string[]>> = {
  'club head': ['club_head'],
  shaft: ['club_head', 'grip'],
};

export interface SwingPlane {
  readonly choice: PlaneChoice;
  readonly fit: FittedPlane;
  /** Frames that the fit used. */
  readonly frames: number;
  readonly tilt: Tilt;
}

/** A swing plane, or why there is none. */
export type FoundPlane = { readonly plane: SwingPlane } | { readonly missing: string };

/**
 * The swing plane: total least squares of the unfiltered positions of the club head (or of head and grip) from a stated
 * instant of the downswing to impact. A frame counts by how much of it lies within that span, so that the plane does not
 * jump when the span moves by less than a frame.
 *
 * Uncertainty, to first order: noise of variance s^2 in every coordinate of point i, with weight w_i, tilts the normal
 * n along the direction e_j by sum w_i^2 s_i^2 ((e_j . r_i)^2 + (n . r_i)^2) / (L_j - L_n)^2, L being the mean squares of the
 * fit; where the club changes its length, the plane moves by as much as it would if the head were put back along the shaft;
 * and the span's ends move it by as much as a fit to a shifted span says.
 *
 * @see Coleman SG, Anderson D (2007) J Sports Sci 25:739-748; Kwon YH, Como CS, Singhal K, Lee S, Han KH (2012) Sports
 *   Biomech 11:127-148 (planes fitted to parts of the path of shaft and head)
 */
export function findSwingPlane(
  motion: Motion,
  segments: readonly SegmentLength[],
  instants: FoundInstants,
  choice: PlaneChoice,
): FoundPlane {
  const [from, to] = [instants[choice.from], instants.impact];
  if ('missing' in from) return { missing: `${choice.from} was not found: ${from.missing}` };
  if ('missing' in to || motion.split === null) return { missing: 'impact was not found' };
  const names = LANDMARKS[choice.path];
  const span = { from: from.instant.frame, to: to.instant.frame };
  const path = pathPoints(motion, segments, names, span, motion.split);
  if (typeof path === 'string') return { missing: path };
  const fitted = (shift: { from: number; to: number }): FittedPlane | null =>
    fitPlane(
      path.points,
      weightsOf(path.frames, { from: span.from + shift.from, to: span.to + shift.to }, motion.split!),
    );
  const fit = fitted({ from: 0, to: 0 });
  if (!fit) return { missing: `the path from ${choice.from} to impact is too short for a plane` };
  const noise = tiltOfNoise(path, fit, weightsOf(path.frames, span, motion.split));
  const ends = [
    tiltOfEnd(fit, fitted, (by) => ({ from: by, to: 0 }), from.instant.sd_s * motion.rateHz),
    tiltOfEnd(fit, fitted, (by) => ({ from: 0, to: by }), to.instant.sd_s * motion.rateHz),
  ];
  return {
    plane: {
      choice,
      fit,
      frames: new Set(path.frames).size,
      tilt: {
        first: noise.first + ends.reduce((sum, [a]) => sum + a * a, 0),
        second: noise.second + ends.reduce((sum, [, b]) => sum + b * b, 0),
        both: noise.both + ends.reduce((sum, [a, b]) => sum + a * b, 0),
      },
    },
  };
}

/** What a plane says of something, with the uncertainty of its tilt and, where it has one, its own. */
export function readInPlane(
  { fit, tilt }: SwingPlane,
  value: (normal: Vector) => number,
  ownVariance = 0,
): Outcome {
  const slope = (a: number, b: number): number =>
    (value(tilted(fit.normal, fit.spread, [a, b])) - value(tilted(fit.normal, fit.spread, [-a, -b]))) /
    (2 * STEP);
  const [first, second] = [slope(STEP, 0), slope(0, STEP)];
  const variance =
    ownVariance + first * first * tilt.first + second * second * tilt.second + 2 * first * second * tilt.both;
  return { reading: { value: value(fit.normal), sd: Math.sqrt(Math.max(0, variance)) } };
}

/** Radians: small beside any tilt that matters, large beside rounding. */
const STEP = 1e-5;

function pathPoints(
  motion: Motion,
  segments: readonly SegmentLength[],
  names: readonly string[],
  span: { readonly from: number; readonly to: number },
  split: number,
): Path | string {
  const path = {
    points: [] as Vector[],
    frames: [] as number[],
    noise: [] as number[],
    back: [] as Vector[],
  };
  for (const name of names) {
    const landmark = motion.landmarks.get(name);
    if (!landmark) return `the layout names no ${name}`;
    // One frame more at the start, which the span reaches when it moves.
    for (let i = Math.max(0, Math.round(span.from) - 1); i <= split; i++) {
      const point = pointOf(landmark.raw, i);
      if (Number.isNaN(point[0])) return `${name} was not seen all the way to impact`;
      path.points.push(point);
      path.frames.push(i);
      path.noise.push(landmark.noiseVariance);
      path.back.push(name === 'club_head' ? wayBack(motion, segments, point, i) : NOWHERE);
    }
  }
  return path;
}

const NOWHERE: Vector = [0, 0, 0];

/** The way along the shaft that would give the club its usual length again; none where its length is steady. */
function wayBack(motion: Motion, segments: readonly SegmentLength[], head: Vector, frame: number): Vector {
  const shaft = segments.find(({ pair }) => pair.includes('club_head'));
  const grip = motion.landmarks.get('grip');
  if (!shaft || !grip || rigidityVariance([shaft], 'club_head', frame, motion.rateHz).position === 0)
    return NOWHERE;
  const along = subtract(head, pointOf(grip.raw, frame));
  const change = shaft.deviation[frame]!;
  return Number.isNaN(change) ? NOWHERE : scale(along, -change / norm(along));
}

/** The share of each frame that lies in the span; what lies between the last frame and impact is the last one's. */
function weightsOf(
  frames: readonly number[],
  { from, to }: { readonly from: number; readonly to: number },
  split: number,
): number[] {
  return frames.map((i) => Math.max(0, (i === split ? to : Math.min(to, i + 0.5)) - Math.max(from, i - 0.5)));
}
