import { type Motion, solveMotion } from '../../numerics/index.ts';
import { type Chain, createChain } from './chain.ts';
import { downswingEvents } from './downswing-events.ts';
import { type DownswingRun, summariseDownswing } from './downswing-run.ts';
import { type BodyProblem, bodyProblems, gravityInPlane, type SwingBody, topAngles } from './swing-body.ts';
import { pieceMiddles, type Torque, torqueAt, torqueBreaks, torqueProblem } from './torque.ts';
import { trailElbow } from './trail-elbow.ts';

/** The torques of a downswing; time zero is the top. */
export interface SwingTimings {
  readonly trunk: readonly Torque[];
  readonly shoulder: readonly Torque[];
  readonly wrist: readonly Torque[];
}

/** Why there is no downswing to tell of. */
export interface DownswingFault {
  readonly kind: 'impossible-body' | 'impossible-timings' | 'loop-broken' | 'no-impact' | 'not-followed';
  readonly found: string;
  readonly problems: readonly BodyProblem[];
}

export type Downswing =
  | { readonly run: DownswingRun }
  | { readonly run: null; readonly fault: DownswingFault };

/** Longest downswing that is waited for. */
const UNTIL_S = 1.2;

/**
 * Swings a body from rest at the top, through impact, to where the trail elbow is straight. Trunk, lead arm and club move by the
 * equations of the chain (chain.ts) under the torques given and what the joints do at the ends of their range; the trail arm
 * is carried along without mass or force, and its flexion follows from the closed loop (trail-elbow.ts). Ball contact takes nothing
 * from the club: what comes after impact is a swing without a ball.
 *
 * @returns the run; or a fault for a body or timings that cannot be, a loop that breaks before impact, or a club that does
 *   not reach the ball within 1.2 s
 * @example
 * const swing = simulateDownswing(SKILLED_BODY, SKILLED_TIMINGS);
 * if (swing.run) swing.run.impact.headSpeed_m_s;
 */
export function simulateDownswing(body: SwingBody, timings: SwingTimings): Downswing {
  const problems = bodyProblems(body);
  if (problems.length > 0)
    return fault('impossible-body', problems.map((p) => `${p.where}: ${p.found}`).join('; '), problems);
  const joints = [timings.trunk, timings.shoulder, timings.wrist];
  const wrong = joints
    .flat()
    .map(torqueProblem)
    .find((problem) => problem !== null);
  if (wrong) return fault('impossible-timings', wrong);

  const chain = createChain([body.trunk, body.leadArm, body.club], gravityInPlane(body), body.limits);
  const angles = topAngles(body);
  const elbowAtTop = trailElbow(body.trunk.length_m, body.leadArm.length_m, body.trailArm, angles);
  if (elbowAtTop.fault !== null)
    return fault(
      'loop-broken',
      `${elbowAtTop.fault} at the top: ${elbowAtTop.distance_m} m against ${elbowAtTop.limit_m} m`,
    );
  const motion = follow(body, chain, joints, angles);
  if (motion.fault !== null) return fault('not-followed', `${motion.fault.kind} at ${motion.fault.time} s`);
  const impact = motion.happenings.find((happening) => happening.name === 'impact');
  if (impact === undefined)
    return motion.endedBy === null
      ? fault('no-impact', `the club head did not reach the ball within ${UNTIL_S} s`)
      : fault('loop-broken', `${motion.endedBy} at ${motion.times.at(-1)} s, before impact`);
  return { run: summariseDownswing(body, chain, motion, impact) };
}

function fault(
  kind: DownswingFault['kind'],
  found: string,
  problems: readonly BodyProblem[] = [],
): { run: null; fault: DownswingFault } {
  return { run: null, fault: { kind, found, problems } };
}

function follow(
  body: SwingBody,
  chain: Chain,
  joints: readonly (readonly Torque[])[],
  angles: readonly [number, number, number],
): Motion {
  const breaks = torqueBreaks(joints.flat(), UNTIL_S);
  const middles = pieceMiddles(breaks, 0, UNTIL_S);
  const torques = new Float64Array(3);
  return solveMotion({
    start: Float64Array.of(...angles, 0, 0, 0, 0),
    from: 0,
    to: UNTIL_S,
    breaks,
    relativeTolerance: 1e-9,
    absoluteTolerance: 1e-10,
    events: downswingEvents(body),
    rates: (time, state, rates, piece) => {
      for (let joint = 0; joint < 3; joint++) {
        torques[joint] = 0;
        for (const torque of joints[joint]!) torques[joint]! += torqueAt(torque, time, middles[piece]!);
      }
      chain.rates(state, torques, 0, rates);
    },
  });
}
