import { localPolynomialWeights } from '../numerics/index.ts';
import type { NoiseLeft } from './cleaning/noise-left.ts';
import { smoothTrack } from './cleaning/smooth.ts';
import type { Smoother } from './cleaning/smoother.ts';
import type { Vector } from './geometry/vector.ts';
import { polynomialReading, readTrack, splineReading } from './read-track.ts';
import type { Track, Trial } from './trial.ts';
import { type TurningState, turningState } from './turning-state.ts';

/** One landmark at one moment, with the variance that its noise leaves in each coordinate. */
export interface MarkerState {
  readonly position: Vector;
  readonly velocity: Vector;
  readonly acceleration: Vector;
  /** m^2, (m/s)^2 and m^2/s. */
  readonly positionVariance: number;
  readonly velocityVariance: number;
  readonly covariance: number;
}

export interface LandmarkMotion {
  readonly raw: Track;
  readonly smooth: Track;
  readonly noiseVariance: number;
  readonly smoother: Smoother;
  readonly windowFrames: number;
}

/** How derivatives of filtered positions are taken, and what is read between frames. */
export type Derivatives = 'central differences' | 'spline';

/** A trial in lab axes, filtered on both sides of impact, that can be read at any moment. */
export interface Motion {
  readonly rateHz: number;
  readonly frames: number;
  /** The last frame before impact, or null where impact was not found. */
  readonly split: number | null;
  /** The lowest cut-off of the landmarks on the club and of those on the body. */
  readonly cutoffHz: { readonly club: number; readonly body: number };
  readonly derivatives: Derivatives;
  readonly landmarks: ReadonlyMap<string, LandmarkMotion>;
}

/** Frames read together for a value between frames. */
const NEIGHBOURS = { 'central differences': 6, spline: 12 } as const;
/** Length of the unfiltered stretch before impact that readings at impact are fitted to, s. */
export const IMPACT_WINDOW_S = { club: 0.03, body: 0.045 } as const;

/** Whether a landmark sits on the club. */
export function isClubLandmark(name: string): boolean {
  return name === 'grip' || name.startsWith('club_') || name.startsWith('shaft_');
}

export interface MotionSettings {
  /** The last frame before impact. */
  readonly split: number | null;
  /** The same, or null to filter through impact. */
  readonly filterSplit: number | null;
  readonly smootherOf: (landmark: string) => Smoother;
  /** Standard deviation of each coordinate of each landmark, m. */
  readonly noise: ReadonlyMap<string, number>;
  readonly derivatives: Derivatives;
}

export function createMotion(trial: Trial, settings: MotionSettings): Motion {
  const { split, filterSplit, smootherOf, noise, derivatives } = settings;
  const { rateHz, frames } = trial;
  const landmarks = new Map<string, LandmarkMotion>();
  const cutoffHz = { club: Number.POSITIVE_INFINITY, body: Number.POSITIVE_INFINITY };
  for (const [name, raw] of trial.tracks) {
    const kind = isClubLandmark(name) ? 'club' : 'body';
    const smoother = smootherOf(name);
    cutoffHz[kind] = Math.min(cutoffHz[kind], smoother.cutoffHz);
    landmarks.set(name, {
      raw,
      smooth: smoothTrack(raw, smoother, filterSplit),
      noiseVariance: (noise.get(name) ?? 0) ** 2,
      smoother,
      windowFrames: Math.max(5, Math.round(IMPACT_WINDOW_S[kind] * rateHz)),
    });
  }
  return { rateHz, frames, split, cutoffHz, derivatives, landmarks };
}

/**
 * The state of a landmark at `frame` (which may lie between frames), from its filtered track by the polynomial
 * through the six frames about it, or by the spline through twelve, never reaching across impact.
 *
 * @returns null where the landmark is absent or was not seen
 */
export function stateAt(motion: Motion, name: string, frame: number): MarkerState | null {
  const landmark = motion.landmarks.get(name);
  if (!landmark) return null;
  const { split, rateHz } = motion;
  const beforeImpact = split === null || frame <= split + 1;
  const low = beforeImpact ? 0 : split + 1;
  const high = split !== null && beforeImpact ? split : motion.frames - 1;
  const together = NEIGHBOURS[motion.derivatives];
  const centre = Math.floor(frame) - together / 2 + 1;
  const from = Math.max(low, Math.min(centre, high - together + 1));
  const seen: number[] = [];
  for (let i = from; i < from + together && i <= high; i++)
    if (!Number.isNaN(landmark.smooth.x[i]!)) seen.push(i);
  if (seen.length < 4 || frame < seen[0]! - 1 || frame > seen[seen.length - 1]! + 1) return null;
  // Beyond the ends a polynomial of high degree runs wild; a cubic through the same frames does not.
  const inside = frame >= seen[0]! && frame <= seen[seen.length - 1]!;
  const reading =
    motion.derivatives === 'spline'
      ? splineReading(seen, frame)
      : polynomialReading(seen, inside ? seen.length - 1 : 3, frame);
  const { noiseLeft } = landmark.smoother;
  return readTrack(landmark.smooth, reading, rateHz, landmark.noiseVariance, (i, j) =>
    covarianceLeft(noiseLeft, i, j, split),
  );
}

/** Covariance that the filter leaves between two frames, which differs near its end at impact. */
function covarianceLeft(
  { inside, atEnd, reach }: NoiseLeft,
  i: number,
  j: number,
  split: number | null,
): number {
  if (split !== null) {
    const [p, q] = i <= split ? [split - i, split - j] : [i - split - 1, j - split - 1];
    if (p < reach && q < reach) return atEnd[p * reach + q]!;
  }
  return inside[Math.abs(i - j)]!;
}

/**
 * The state of a landmark at impact, from a cubic fitted to its unfiltered samples before impact: filtered
 * samples this near the end of a run carry the guess at what comes after it. A landmark on the club, which goes
 * round faster than a cubic in x, y and z follows, is fitted as seen from the grip: distance, angle in the plane
 * in which it turns and angle out of it.
 *
 * @returns null where the landmark was not seen in the frames before impact
 */
export function stateBeforeImpact(motion: Motion, name: string, frame: number): MarkerState | null {
  const landmark = motion.landmarks.get(name);
  if (!landmark || motion.split === null) return null;
  const seen = framesBefore(landmark, motion.split);
  // Further than three frames ahead of the last one seen, a cubic says little.
  if (seen.length < 5 || frame - seen[seen.length - 1]! > 3) return null;
  const fitted = readTrack(
    landmark.raw,
    polynomialReading(seen, 3, frame),
    motion.rateHz,
    landmark.noiseVariance,
    null,
  );
  const grip = name !== 'grip' && isClubLandmark(name) ? motion.landmarks.get('grip') : undefined;
  if (!grip) return fitted;
  const turned = turningState(grip.raw, landmark.raw, seen, frame, motion.rateHz);
  if (!turned) return fitted;
  const { position, velocity, acceleration } = turned;
  return {
    position,
    velocity,
    acceleration,
    ...turnedVariances(grip, landmark, seen, frame, turned, motion.rateHz),
  };
}

/**
 * Variances of a reading fitted as seen from the grip. With t_i and r_i the directions across and along the shaft at
 * frame i, D_i the turn from there to the reading and q the turning rate, noise g of the grip and n of the
 * landmark move the reading across the shaft by sum w_i (g.t + (n - g).t_i) and its speed by
 * sum w'_i (g.t + (n - g).t_i) + q w_i (n - g).r_i, so that the grip's part grows as 2 (1 - cos D_i).
 */
function turnedVariances(
  grip: LandmarkMotion,
  landmark: LandmarkMotion,
  frames: readonly number[],
  at: number,
  { turned, turnRate: q }: TurningState,
  rateHz: number,
): Pick<MarkerState, 'positionVariance' | 'velocityVariance' | 'covariance'> {
  const { value, slope } = localPolynomialWeights(frames, 3, at);
  let [positionVariance, velocityVariance, covariance] = [0, 0, 0];
  for (let i = 0; i < frames.length; i++) {
    const [w, dw] = [value[i]!, slope[i]! * rateHz];
    const apart = 2 * (1 - Math.cos(turned[i]!));
    const across = Math.sin(turned[i]!);
    positionVariance += w * w * (landmark.noiseVariance + apart * grip.noiseVariance);
    velocityVariance +=
      (dw * dw + q * q * w * w) * landmark.noiseVariance +
      (dw * dw * apart + q * q * w * w + 2 * w * dw * q * across) * grip.noiseVariance;
    covariance +=
      w * dw * landmark.noiseVariance + (w * dw * apart + q * w * w * across) * grip.noiseVariance;
  }
  return { positionVariance, velocityVariance, covariance };
}

function framesBefore(landmark: LandmarkMotion, split: number): number[] {
  const frames: number[] = [];
  for (let i = split; i >= 0 && i > split - 2 * landmark.windowFrames; i--) {
    if (!Number.isNaN(landmark.raw.x[i]!)) frames.unshift(i);
    if (frames.length === landmark.windowFrames) break;
  }
  return frames;
}
