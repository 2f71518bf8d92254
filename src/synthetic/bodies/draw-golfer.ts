import type { Stream } from '../../numerics/index.ts';
import {
  applyTimingShift,
  SKILLED_TIMINGS,
  type SwingBody,
  type SwingTimings,
  stretchTimings,
  summarisedDownswing,
  swingPostures,
} from '../mechanics/index.ts';
import { atSkill } from '../model/path-model.ts';
import { bodyOfBuild, REFERENCE_HEIGHT_M } from './body-of-build.ts';
import type { GolferDistributions, MeanSdBySkill } from './distributions.ts';
import { fitTrailArm } from './fit-trail-arm.ts';

/** A golfer as the mechanics see one. */
export interface MechanicalGolfer {
  /** 0 less skilled, 1 skilled. */
  readonly skill: number;
  readonly plays: 'right' | 'left';
  readonly height_m: number;
  /** As the golfer stands and turns as a rule. */
  readonly body: SwingBody;
  /** As the golfer swings as a rule, warm and rested. */
  readonly timings: SwingTimings;
  /** All times of the golfer against those of the reference: a weaker golfer of the same build swings more slowly. */
  readonly tempo: number;
  /** Of the head below the hub at the ball where the golfer stands so as to meet it, along the plane. */
  readonly reach_m: number;
  /** Strength this golfer loses with each hundred swings, as a share, and how the wrist's onset moves meanwhile. */
  readonly tiring: number;
  readonly tiredWrist_ms: number;
  /** Draws that were no golfer, by the reason. */
  readonly redraws: Readonly<Record<string, number>>;
}

const MOST_DRAWS = 100;
/** Of the swing to which stance and trail arm are fitted: what is left is far below the spread of golfers. */
const FIT_TOLERANCE = 1e-6;
const RAD = Math.PI / 180;

/**
 * Draws a golfer: height, build and strength; from those the tempo; the trail shoulder and the place of the ball so that with a skilled
 * golfer's timing the bend at the top and the attack angle would be as drawn; then the golfer's own timing, whose consequences are left to the mechanics.
 * A draw that makes no swing is drawn again, and `redraws` says how often and why.
 *
 * @param skill 0 less skilled to 1 skilled
 * @throws Error where a hundred draws make no golfer
 * @example
 * const golfer = drawGolfer(SIMULATED_GOLFERS, 1, createStream(7, 'golfer', 0));
 * golfer.skill // 1
 */
export function drawGolfer(from: GolferDistributions, skill: number, stream: Stream): MechanicalGolfer {
  const redraws: Record<string, number> = {};
  for (let draw = 0; draw < MOST_DRAWS; draw++) {
    const golfer = tryGolfer(from, skill, stream.sub(draw));
    if (typeof golfer !== 'string') return { ...golfer, redraws };
    redraws[golfer] = (redraws[golfer] ?? 0) + 1;
  }
  throw new Error(
    `drawGolfer: ${MOST_DRAWS} draws at skill ${skill} made no golfer (${JSON.stringify(redraws)}); narrow the distributions.`,
  );
}

function tryGolfer(
  from: GolferDistributions,
  skill: number,
  stream: Stream,
): Omit<MechanicalGolfer, 'redraws'> | string {
  const person = stream.sub('person');
  const swing = stream.sub('swing');
  const drawn = ({ mean, sd }: MeanSdBySkill): number =>
    swing.normal(atSkill(mean, skill), atSkill(sd, skill));
  const height_m = person.normal(from.height_m.mean, from.height_m.sd);
  const tall = height_m / REFERENCE_HEIGHT_M;
  const arms = tall * (1 + person.normal(0, from.proportions));
  const girdle = tall * (1 + person.normal(0, from.proportions));
  const mass = tall ** 2 * Math.max(0.5, 1 + person.normal(0, from.build));
  const plays = person.bernoulli(from.leftHandedShare) ? 'left' : 'right';
  const tiring = person.normal(from.course.tiring.mean, from.course.tiring.sd);
  const tiredWrist_ms = person.normal(from.course.tiredWrist_ms.mean, from.course.tiredWrist_ms.sd);

  const strength = Math.max(0.2, drawn(from.strength));
  const turned = turnedBody(bodyOfBuild({ arms, girdle, mass }), drawn(from.turn_deg), drawn(from.lag_deg));
  // Torques grow with mass and length as muscles do; the tempo is what keeps the path (Jorgensen's invariant).
  const torque = strength * mass * arms;
  const tempo = arms * Math.sqrt(mass / torque);
  const reference = stretchTimings(SKILLED_TIMINGS, tempo, torque);

  const postures = swingPostures(turned, reference, drawn(from.attackAngle_deg), FIT_TOLERANCE);
  if (postures === null) return 'the head does not come down to the ball';
  const trailArm = fitTrailArm(turned, postures.top, drawn(from.elbowAtTop_deg));
  if (trailArm === null) return 'no trail shoulder gives the bend drawn';
  const body: SwingBody = { ...turned, trailArm, ballAhead_m: postures.ballAhead_m };
  const timings = applyTimingShift(reference, {
    trunk_ms: tempo * drawn(from.onset_ms.trunk),
    shoulder_ms: tempo * drawn(from.onset_ms.shoulder),
    wrist_ms: tempo * drawn(from.onset_ms.wrist),
  });
  const usual = summarisedDownswing(body, timings);
  if (usual.run === null) return usual.fault.kind;
  return { skill, plays, height_m, body, timings, tempo, reach_m: postures.reach_m, tiring, tiredWrist_ms };
}

/** A body that turns farther and cocks more at the top, the ends of its joints' range with it. */
function turnedBody(body: SwingBody, turn_deg: number, lag_deg: number): SwingBody {
  return {
    ...body,
    topTrunk_deg: body.topTrunk_deg - turn_deg,
    topLeadArm_deg: body.topLeadArm_deg - turn_deg,
    topLag_deg: body.topLag_deg + lag_deg,
    limits: body.limits.map((limit) =>
      limit.joint === 2 ? { ...limit, angle_rad: limit.angle_rad - lag_deg * RAD } : limit,
    ),
  };
}
