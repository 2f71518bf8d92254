import type { Vector } from '../geometry/vector.ts';
import { refineExtremum } from '../instants/extremum.ts';
import type { Motion } from '../motion.ts';
import type { FoundInstants, Outcome, Reader } from './reader.ts';

const SEARCH_S = 0.05;

/**
 * Where the lowest point of the head's path lies relative to the ball along the target line, cm, + = ahead of
 * the ball: from the frames within 50 ms of impact, between frames by the parabola through the three lowest.
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
  const head = motion.landmarks.get('club_head')?.smooth;
  if (!head) return { missing: 'the layout names no club_head' };
  const reach = Math.round(SEARCH_S * motion.rateHz);
  const centre = Math.round(impact.instant.frame);
  let lowest = -1;
  for (let i = Math.max(0, centre - reach); i <= Math.min(motion.frames - 1, centre + reach); i++)
    if (lowest < 0 || head.y[i]! < head.y[lowest]!) lowest = i;
  if (Math.abs(lowest - centre) >= reach || Number.isNaN(head.y[lowest]!))
    return { missing: 'the head has no lowest point within 50 ms of impact' };
  const frame = refineExtremum(head.y, lowest);
  return reader.atFrame(
    frame,
    ['club_head'],
    (at) => 100 * (at.position('club_head')[0] - ball[0]),
    (at, acceleration) => -at.velocity('club_head')[1] / acceleration('club_head')[1],
  );
}
