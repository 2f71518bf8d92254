import { dot, norm, subtract, type Vector } from '../geometry/vector.ts';
import { type MarkerState, type Motion, stateBeforeImpact } from '../motion.ts';
import { readAtInstant, type Sample } from '../uncertainty.ts';
import type { Found } from './instant.ts';
import { withinFrame } from './instant.ts';

/** How well the head's place at address stands for its place at impact along its path, m (our setting). */
export const ADDRESS_FOR_BALL_SD_M = 0.01;
/** Passing further than this from where it was at address, the head does not come back to the ball as captured. */
export const FAR_MISS_M = 0.08;

export interface Impact {
  readonly found: Found;
  /** Variance of the moment that the noise of the head does not explain, s^2. */
  readonly otherVariance_s2: number;
  /** Distance at which the head passes the ball, m. */
  readonly miss_m: number | null;
}

/**
 * Seconds from a moment to when the head passes nearest to the ball: -(p - b).v / (v.v + (p - b).a), the first step
 * of Newton's method on (p - b).v = 0.
 */
export function timeToBall(head: Vector, velocity: Vector, acceleration: Vector, ball: Vector): number {
  const offset = subtract(head, ball);
  return -dot(offset, velocity) / (dot(velocity, velocity) + dot(offset, acceleration));
}

/** Impact between frames, from the head's frames before contact only. */
export function findImpact(motion: Motion, ball: Vector | null, ballGiven: boolean): Impact {
  const { split, rateHz } = motion;
  const lost = (missing: string): Impact => ({ found: { missing }, otherVariance_s2: 0, miss_m: null });
  if (split === null) return lost('the club head was not seen moving');
  if (!ball)
    return {
      found: { instant: { frame: split, sd_s: withinFrame(rateHz) } },
      otherVariance_s2: withinFrame(rateHz) ** 2,
      miss_m: null,
    };
  let frame = split + 0.5;
  let state: MarkerState | null = null;
  for (let i = 0; i < 12; i++) {
    state = stateBeforeImpact(motion, 'club_head', frame);
    if (!state) return lost('the club head was not seen in the frames before impact');
    const step = timeToBall(state.position, state.velocity, state.acceleration, ball) * rateHz;
    frame += step;
    if (!(frame > split - 2 && frame < split + 4))
      return lost('the path of the club head before impact does not lead to the ball');
    if (Math.abs(step) < 1e-10) break;
  }
  state = stateBeforeImpact(motion, 'club_head', frame);
  if (!state) return lost('the club head was not seen in the frames before impact');
  const speed = norm(state.velocity);
  const miss = norm(subtract(state.position, ball));
  let other = ballGiven ? 0 : (ADDRESS_FOR_BALL_SD_M / speed) ** 2;
  if (miss > FAR_MISS_M) other += withinFrame(rateHz) ** 2;
  const timing = (sample: Sample): number =>
    timeToBall(sample.positions[0]!, sample.velocities[0]!, state!.acceleration, ball);
  const { sd } = readAtInstant([state], timing, null, 0);
  return {
    found: { instant: { frame, sd_s: Math.sqrt(sd * sd + other) } },
    otherVariance_s2: other,
    miss_m: miss,
  };
}
