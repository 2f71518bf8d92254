/** The mechanics of a downswing: double pendulum, driven chain, trail elbow from the closed loop. */

export { type Chain, createChain, type JointLimit, type Segment } from './chain.ts';
export { type DoublePendulum, pendulumRates } from './double-pendulum.ts';
export type { DownswingRun, DownswingSeries, ImpactState } from './downswing-run.ts';
export { IRON_PENDULUM, IRON_SWING, JORGENSEN_PENDULUM, JORGENSEN_SWING } from './published-pendulums.ts';
export {
  type Downswing,
  type DownswingFault,
  type SwingTimings,
  simulateDownswing,
} from './simulate-downswing.ts';
export {
  DRIVES_ELBOW_IN_TIMINGS,
  HOLDS_TIMINGS,
  OPENS_EARLY_TIMINGS,
  SKILLED_BODY,
  SKILLED_TIMINGS,
} from './skilled-golfer.ts';
export { type BodyProblem, bodyProblems, type SwingBody } from './swing-body.ts';
export {
  type PendulumMoment,
  type PendulumRun,
  type PendulumSwing,
  swingDoublePendulum,
} from './swing-double-pendulum.ts';
export { steadyTorque, type Torque, torqueAt, torqueBreaks, torqueProblem } from './torque.ts';
export { type TrailArm, type TrailElbow, type TrailElbowFault, trailElbow } from './trail-elbow.ts';
