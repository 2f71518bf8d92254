import type { BySkill, MeanSd } from '../recipe/recipe.ts';

/** A normal distribution at either end of the skill scale; in between mean and SD are interpolated. */
export interface MeanSdBySkill {
  readonly mean: BySkill;
  readonly sd: BySkill;
}

/** One number for each joint that is driven. */
export type PerJoint<T> = Readonly<Record<'trunk' | 'shoulder' | 'wrist', T>>;

/**
 * What simulated golfers are drawn from. Onsets are deviations from a skilled golfer's at the tempo of that golfer, in ms (positive =
 * later), strengths are shares of the torques of a skilled golfer of that build.
 */
export interface GolferDistributions {
  readonly height_m: MeanSd;
  /** Own variation of the lengths of arms and girdle at a height, as a share (SD). */
  readonly proportions: number;
  /** Own variation of mass at a height, as a share (SD). */
  readonly build: number;
  readonly leftHandedShare: number;
  readonly strength: MeanSdBySkill;
  readonly onset_ms: PerJoint<MeanSdBySkill>;
  /** Bend of the trail elbow at the top when the golfer swings with a skilled golfer's timing. */
  readonly elbowAtTop_deg: MeanSdBySkill;
  /** Attack angle that sets where the ball lies, when the golfer swings with a skilled golfer's timing. */
  readonly attackAngle_deg: MeanSdBySkill;
  /** How much more or less than usual the golfer turns, and cocks the wrist. */
  readonly turn_deg: MeanSdBySkill;
  readonly lag_deg: MeanSdBySkill;
  /** Variation of a golfer between sessions and between swings (SD). */
  readonly between: {
    readonly sessions: Variation;
    readonly swings: Variation;
  };
  readonly course: SessionCourse;
}

/** Standard deviations. */
export interface Variation {
  readonly onset_ms: PerJoint<BySkill>;
  readonly strength: BySkill;
  readonly turn_deg: BySkill;
  /** Of the lead arm against the trunk at the top. */
  readonly arm_deg: BySkill;
  readonly lag_deg: BySkill;
  readonly ball_cm: BySkill;
}

/** How a session goes: warming up, then tiring. */
export interface SessionCourse {
  /** Strength missing at the first swing, as a share; it comes back with each swing. */
  readonly coldLoss: number;
  /** How much larger the variation of timing is at the first swing, as a share. */
  readonly coldUnsteady: number;
  /** Swings in which what is missing falls to 1 / e. */
  readonly warmUpSwings: number;
  /** Strength lost with each hundred swings, as a share, and how golfers differ in it (SD). */
  readonly tiring: MeanSd;
  /** Onset of the wrist that moves with each hundred swings, ms: a tired wrist lets go sooner. */
  readonly tiredWrist_ms: MeanSd;
}

const both = (value: number): BySkill => ({ skilled: value, lessSkilled: value });
const by = (skilled: number, lessSkilled: number): BySkill => ({ skilled, lessSkilled });

/**
 * The golfers of the recipes. All of it is design assumption and none of it is to be cited; where a cohort setting stands in the
 * list of literature (also a design assumption there) the outcome, not the input, was held against it.
 */
export const SIMULATED_GOLFERS: GolferDistributions = {
  height_m: { mean: 1.76, sd: 0.07 },
  proportions: 0.01,
  build: 0.1,
  leftHandedShare: 0.12,
  strength: { mean: by(1.08, 0.7), sd: by(0.06, 0.11) },
  onset_ms: {
    trunk: { mean: both(0), sd: both(0) },
    shoulder: { mean: by(0, -12), sd: by(2, 5) },
    wrist: { mean: by(0, -22), sd: by(6, 10) },
  },
  elbowAtTop_deg: { mean: by(85, 92), sd: by(3, 7) },
  attackAngle_deg: { mean: by(-4, -2), sd: by(0.8, 1.2) },
  turn_deg: { mean: by(0, 0), sd: by(4, 6) },
  lag_deg: { mean: by(0, -4), sd: by(4, 7) },
  between: {
    sessions: {
      onset_ms: { trunk: both(0), shoulder: by(0.6, 1.2), wrist: by(1.5, 3) },
      strength: both(0.01),
      turn_deg: by(1, 1.5),
      arm_deg: by(0.4, 0.6),
      lag_deg: by(1, 1.5),
      ball_cm: by(0.3, 0.6),
    },
    swings: {
      onset_ms: { trunk: both(0), shoulder: by(0.6, 1.2), wrist: by(2, 4) },
      strength: by(0.025, 0.04),
      turn_deg: by(1, 2),
      arm_deg: by(0.6, 1.2),
      lag_deg: by(1.5, 3),
      ball_cm: by(0.4, 0.8),
    },
  },
  course: {
    coldLoss: 0.03,
    coldUnsteady: 0.5,
    warmUpSwings: 6,
    tiring: { mean: 0.03, sd: 0.015 },
    tiredWrist_ms: { mean: -3, sd: 2 },
  },
};
