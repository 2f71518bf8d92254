/** The mechanics of a downswing: double pendulum, driven chain, trail elbow from the closed loop. */

export { bodyProblems } from './body-problems.ts';
export { type Chain, createChain, type JointLimit, type Segment } from './chain.ts';
export { type DoublePendulum, pendulumRates } from './double-pendulum.ts';
export type { DownswingRun, DownswingSummary, ImpactState } from './downswing-run.ts';
export type { DownswingSeries } from './downswing-series.ts';
export { IRON_PENDULUM, IRON_SWING, JORGENSEN_PENDULUM, JORGENSEN_SWING } from './published-pendulums.ts';
export { armSpan, handAtSpan } from './shoulder-give.ts';
export {
  type Downswing,
  type DownswingFault,
  type SummarisedDownswing,
  simulateDownswing,
  summarisedDownswing,
} from './simulate-downswing.ts';
export {
  DRIVES_ELBOW_IN_TIMINGS,
  EARLY_FROM_CHEST_TIMINGS,
  EARLY_WRIST_TIMINGS,
  HOLDS_ANGLE_TIMINGS,
  HOLDS_TIMINGS,
  OPENS_EARLY_TIMINGS,
  SKILLED_BODY,
  SKILLED_TIMINGS,
} from './skilled-golfer.ts';
export {
  MECHANICS_SOURCES,
  type MechanicsSource,
  SKILLED_BODY_SOURCES,
} from './sources.ts';
export type { BodyProblem, SwingBody } from './swing-body.ts';
export {
  type PendulumMoment,
  type PendulumRun,
  type PendulumSwing,
  swingDoublePendulum,
} from './swing-double-pendulum.ts';
export { type PlaneAngles, type SwingPostures, swingPostures } from './swing-postures.ts';
export {
  applyTimingShift,
  DRIVEN_JOINTS,
  type DrivenJoint,
  type SwingTimings,
  scaleTorques,
  stretchTimings,
  type TimingShift,
  timingProblems,
} from './swing-timings.ts';
export { steadyTorque, type Torque, torqueAt, torqueBreaks, torqueProblem } from './torque.ts';
export type { ShoulderGive, TrailArm } from './trail-arm.ts';
export { type TrailElbow, type TrailElbowFault, trailElbow } from './trail-elbow.ts';
