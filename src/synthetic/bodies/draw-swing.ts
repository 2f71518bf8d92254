import type { Stream } from '../../numerics/index.ts';
import { applyTimingShift, type SwingBody, type SwingTimings, scaleTorques } from '../mechanics/index.ts';
import { atSkill } from '../model/path-model.ts';
import type { GolferDistributions, Variation } from './distributions.ts';
import type { MechanicalGolfer } from './draw-golfer.ts';

/** What a day, or a swing, adds to how a golfer swings as a rule. */
export interface Deviation {
  readonly trunk_ms: number;
  readonly shoulder_ms: number;
  readonly wrist_ms: number;
  /** As a share of the usual strength. */
  readonly strength: number;
  readonly turn_deg: number;
  /** Of the lead arm against the trunk at the top: negative = farther across the chest. */
  readonly arm_deg: number;
  readonly lag_deg: number;
  readonly ball_cm: number;
}

/** One swing to be simulated. */
export interface DrawnSwing {
  readonly body: SwingBody;
  readonly timings: SwingTimings;
}

/**
 * The day's form of a golfer: what every swing of the session shares. Normal about zero, with SDs by the golfer's skill.
 *
 * @example
 * const stream = createStream(7, 'golfer', 0);
 * const golfer = drawGolfer(SIMULATED_GOLFERS, 1, stream);
 * const lags = Array.from({ length: 10_000 }, () => drawSession(SIMULATED_GOLFERS, golfer, stream).lag_deg);
 * SIMULATED_GOLFERS.between.sessions.lag_deg.skilled // 1
 * Math.round(10 * moments(lags)!.sd!) / 10 // 1
 */
export function drawSession(from: GolferDistributions, golfer: MechanicalGolfer, stream: Stream): Deviation {
  return drawDeviation(from.between.sessions, golfer.skill, 1, stream);
}

/**
 * One swing of a session: the golfer, the day, the swing itself, and where in the session it stands.
 *
 * @param order of the swing in the session, from 0: the first swings are cold and unsteady, the late ones tired
 * @example
 * const stream = createStream(7, 'golfer', 0);
 * const golfer = drawGolfer(SIMULATED_GOLFERS, 1, stream);
 * const day = drawSession(SIMULATED_GOLFERS, golfer, stream.sub('day', 0));
 * const swing = drawSwing(SIMULATED_GOLFERS, golfer, day, 0, stream.sub('swing', 0));
 * simulateDownswing(swing.body, swing.timings).fault // undefined
 */
export function drawSwing(
  from: GolferDistributions,
  golfer: MechanicalGolfer,
  session: Deviation,
  order: number,
  stream: Stream,
): DrawnSwing {
  const { course } = from;
  const cold = Math.exp(-order / course.warmUpSwings);
  const tired = order / 100;
  const own = drawDeviation(from.between.swings, golfer.skill, 1 + course.coldUnsteady * cold, stream);
  const strength =
    (1 + session.strength) * (1 + own.strength) * (1 - course.coldLoss * cold) * (1 - golfer.tiring * tired);
  const tempo = golfer.tempo;
  const timings = applyTimingShift(golfer.timings, {
    trunk_ms: tempo * (session.trunk_ms + own.trunk_ms),
    shoulder_ms: tempo * (session.shoulder_ms + own.shoulder_ms),
    wrist_ms: tempo * (session.wrist_ms + own.wrist_ms + golfer.tiredWrist_ms * tired),
  });
  const turn = session.turn_deg + own.turn_deg;
  return {
    body: {
      ...golfer.body,
      topTrunk_deg: golfer.body.topTrunk_deg - turn,
      topLeadArm_deg: golfer.body.topLeadArm_deg - turn + session.arm_deg + own.arm_deg,
      topLag_deg: golfer.body.topLag_deg + session.lag_deg + own.lag_deg,
      ballAhead_m: golfer.body.ballAhead_m + (session.ball_cm + own.ball_cm) / 100,
    },
    timings: scaleTorques(timings, strength),
  };
}

function drawDeviation(spread: Variation, skill: number, unsteady: number, stream: Stream): Deviation {
  const onset = (joint: 'trunk' | 'shoulder' | 'wrist'): number =>
    stream.normal(0, unsteady * atSkill(spread.onset_ms[joint], skill));
  return {
    trunk_ms: onset('trunk'),
    shoulder_ms: onset('shoulder'),
    wrist_ms: onset('wrist'),
    strength: stream.normal(0, atSkill(spread.strength, skill)),
    turn_deg: stream.normal(0, atSkill(spread.turn_deg, skill)),
    arm_deg: stream.normal(0, atSkill(spread.arm_deg, skill)),
    lag_deg: stream.normal(0, atSkill(spread.lag_deg, skill)),
    ball_cm: stream.normal(0, atSkill(spread.ball_cm, skill)),
  };
}
