import type { Vector } from '../geometry/vector.ts';
import { type Motion, stateBeforeImpact } from '../motion.ts';
import type { FoundInstants, Outcome, Reader } from './reader.ts';

/**
 * Where the lowest point of the head's path lies relative to the ball along the target line, cm, + = ahead of
 * the ball. The path is the one the head was on before contact, carried on for at most three frames, so that
 * contact does not bend it.
 */
export function lowPoint(
  motion: Motion,
  reader: Reader,
  instants: FoundInstants,
  ball: Vector | null,
): Outcome {
  const { impact } = instants;
  if ('missing' in impact) return { missing: `impact was not found: ${impact.missing}` };
  if (!ball) return { missing: 'the layout gives no ball' };
  let frame = impact.instant.frame;
  for (let i = 0; i < 12; i++) {
    const state = stateBeforeImpact(motion, 'club_head', frame);
    if (!state)
      return { missing: 'the lowest point of the path lies too far beyond the frames before impact' };
    // Where the path bends downward there is no lowest point to go to.
    if (!(state.acceleration[1] > 0))
      return { missing: 'the path of the head has no lowest point about impact' };
    const step = (-state.velocity[1] / state.acceleration[1]) * motion.rateHz;
    frame += step;
    if (Math.abs(step) < 1e-10) break;
  }
  return reader.beforeImpact(
    frame,
    ['club_head'],
    (at) => 100 * (at.position('club_head')[0] - ball[0]),
    (at, acceleration) => -at.velocity('club_head')[1] / acceleration('club_head')[1],
  );
}
