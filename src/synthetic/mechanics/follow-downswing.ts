import { type Motion, solveMotion } from '../../numerics/index.ts';
import type { Chain } from './chain.ts';
import { downswingEvents } from './downswing-events.ts';
import { type SwingBody, topAngles } from './swing-body.ts';
import type { SwingTimings } from './swing-timings.ts';
import { pieceMiddles, torqueBreaks, torquesAt } from './torque.ts';

/** Longest downswing that is waited for. */
export const UNTIL_S = 1.2;

/** The motion of a body from rest at the top until one of the events that end it. */
export function followDownswing(
  body: SwingBody,
  chain: Chain,
  timings: SwingTimings,
  relativeTolerance: number,
): Motion {
  const joints = [timings.trunk, timings.shoulder, timings.wrist];
  const breaks = torqueBreaks(joints.flat(), UNTIL_S);
  const middles = pieceMiddles(breaks, 0, UNTIL_S);
  const torques = new Float64Array(3);
  return solveMotion({
    start: Float64Array.of(...topAngles(body), 0, 0, 0, 0),
    from: 0,
    to: UNTIL_S,
    breaks,
    relativeTolerance,
    absoluteTolerance: relativeTolerance / 10,
    events: downswingEvents(body),
    rates: (time, state, rates, piece) => {
      for (let joint = 0; joint < 3; joint++)
        torques[joint] = torquesAt(joints[joint]!, time, middles[piece]!);
      chain.rates(state, torques, 0, rates);
    },
  });
}
