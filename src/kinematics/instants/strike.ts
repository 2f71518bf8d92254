import { difference } from '../../numerics/index.ts';
import { gapsOf } from '../cleaning/gaps.ts';
import { smoothTrack } from '../cleaning/smooth.ts';
import { createSmoother } from '../cleaning/smoother.ts';
import { norm, subtract, type Vector } from '../geometry/vector.ts';
import type { Track } from '../trial.ts';
import { type Instant, withinFrame } from './instant.ts';

export const TAKEAWAY_SPEED_MPS = 0.2;
export const STILL_SPEED_MPS = 0.1;
/** Stillness is judged on positions filtered at this frequency, so that noise is no movement. */
const STILLNESS_CUTOFF_HZ = 10;
/** While at or near the ball the head is nearer to it than this share of its furthest distance. */
const NEAR_BALL = 0.4;
const SEARCH_S = 0.12;

/** What can be said from the club head alone, before the axes of the file are turned. */
export interface Strike {
  readonly address: Instant | null;
  readonly takeaway: Instant | null;
  /** Where the ball is taken to be, in the track's axes, and whether it was given. */
  readonly ball: Vector | null;
  readonly ballGiven: boolean;
  /** The last frame before impact. */
  readonly split: number;
  readonly warnings: readonly string[];
}

/**
 * Finds address, takeaway and the last frame before impact from the path of the club head. Works on distances and
 * speeds only, so the axes do not matter.
 *
 * @param head gaps filled as far as they may be, unfiltered
 * @returns null when the head was not seen moving
 */
export function findStrike(head: Track, rateHz: number, givenBall: Vector | null): Strike | null {
  const warnings: string[] = [];
  const slow = smoothTrack(head, createSmoother(STILLNESS_CUTOFF_HZ, rateHz), null);
  const speed = speedOf(slow, rateHz);
  const peak = indexOfLargest(speed, 0, speed.length - 1);
  if (peak < 0 || speed[peak]! < 2 * TAKEAWAY_SPEED_MPS) return null;
  const takeaway = findTakeaway(slow, speed, peak, rateHz);
  let address: Instant | null = null;
  if (takeaway) {
    address = findAddress(speed, Math.floor(takeaway.frame), rateHz, warnings);
  } else
    warnings.push(
      'The capture does not show the club head at rest before the swing: address and takeaway are missing.',
    );
  const ball = givenBall ?? (address ? pointOf(slow, address.frame) : null);
  if (!ball)
    warnings.push(
      'Neither a ball nor the head at address is known: impact is taken where the club head is fastest.',
    );
  const split = ball ? lastFrameBefore(head, ball, peak, rateHz) : peak;
  return { address, takeaway, ball, ballGiven: givenBall !== null, split, warnings };
}

/** The last passing of the takeaway speed, upward, with the head near where it is at its fastest. */
function findTakeaway(slow: Track, speed: Float64Array, peak: number, rateHz: number): Instant | null {
  const atPeak = pointOf(slow, peak);
  const away = Float64Array.from(speed, (_, i) => norm(subtract(pointOf(slow, i), atPeak)));
  const furthest = away[indexOfLargest(away, 0, peak)]!;
  for (let i = peak - 1; i >= 0; i--)
    if (speed[i]! < TAKEAWAY_SPEED_MPS && away[i]! < NEAR_BALL * furthest) {
      const share = (TAKEAWAY_SPEED_MPS - speed[i]!) / (speed[i + 1]! - speed[i]!);
      return { frame: i + (share >= 0 && share <= 1 ? share : 1), sd_s: withinFrame(rateHz) };
    }
  return null;
}

function findAddress(speed: Float64Array, before: number, rateHz: number, warnings: string[]): Instant {
  const earliest = Math.max(0, before - Math.round(rateHz));
  let slowest = before;
  for (let i = before; i >= earliest; i--) {
    if (speed[i]! < STILL_SPEED_MPS) return { frame: i, sd_s: withinFrame(rateHz) };
    if (speed[i]! < speed[slowest]!) slowest = i;
  }
  warnings.push(
    'The club head is never near rest in the second before takeaway; its slowest moment is address.',
  );
  return { frame: slowest, sd_s: withinFrame(rateHz) };
}

/** The last frame in which the head still approaches the ball, about the frame nearest to it. */
function lastFrameBefore(head: Track, ball: Vector, peak: number, rateHz: number): number {
  const reach = Math.max(3, Math.round(SEARCH_S * rateHz));
  const from = Math.max(1, peak - reach);
  const to = Math.min(head.x.length - 1, peak + reach);
  let nearest = -1;
  let least = Number.POSITIVE_INFINITY;
  for (let i = from; i <= to; i++) {
    const distance = norm(subtract(pointOf(head, i), ball));
    if (distance < least) [nearest, least] = [i, distance];
  }
  for (let i = Math.min(to, nearest + 1); i >= from; i--) {
    const offset = subtract(pointOf(head, i), ball);
    const step = subtract(pointOf(head, i), pointOf(head, i - 1));
    if (offset[0] * step[0] + offset[1] * step[1] + offset[2] * step[2] < 0) return i;
  }
  return nearest;
}

/** Point of a track at the nearest frame. */
export function pointOf(track: Track, frame: number): Vector {
  const i = Math.round(frame);
  return [track.x[i]!, track.y[i]!, track.z[i]!];
}

function speedOf(track: Track, rateHz: number): Float64Array {
  const [dx, dy, dz] = [track.x, track.y, track.z].map((values) =>
    derivativeOfRuns(values, rateHz, difference, null),
  );
  return dx!.map((x, i) => Math.sqrt(x * x + dy![i]! ** 2 + dz![i]! ** 2));
}

/** Derivative of each run of seen samples, the run through `split` taken as two; NaN where nothing was seen. */
export function derivativeOfRuns(
  values: Float64Array,
  rateHz: number,
  derivative: (values: Float64Array, rateHz: number) => Float64Array,
  split: number | null,
): Float64Array {
  const out = new Float64Array(values.length).fill(Number.NaN);
  const cuts = [
    ...gapsOf(values).flatMap((gap) => [gap.from, gap.to + 1]),
    ...(split === null ? [] : [split + 1]),
    values.length,
  ].sort((a, b) => a - b);
  let from = 0;
  for (const to of cuts) {
    if (to > from && !Number.isNaN(values[from]!))
      out.set(derivative(values.subarray(from, to), rateHz), from);
    from = to;
  }
  return out;
}

/** Index of the largest value in from..to, NaN passed over; -1 where there is none. */
export function indexOfLargest(values: Float64Array, from: number, to: number): number {
  let best = -1;
  for (let i = Math.max(0, from); i <= Math.min(values.length - 1, to); i++)
    if (!Number.isNaN(values[i]!) && (best < 0 || values[i]! > values[best]!)) best = i;
  return best;
}
