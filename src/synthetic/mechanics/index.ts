/**
 * The mechanics of a downswing: double pendulum, driven chain, trail elbow from the closed loop.
 *
 * What the model says, and what it does not say. Driving the lead arm off the chest sooner straightens the trail elbow sooner, as it must; the
 * release then comes earlier and the shaft leans less, in nearly every body (tests/synthetic/bodies/mechanisms.test.ts). Letting the
 * wrist push 20 ms later (HOLDS_ANGLE_TIMINGS) brings the release forward too; that is no rule for every way of holding on: a wrist that
 * pulls back until 150 ms and pushes then leaves the release where it was, and one that never pushes lets go later. Holding the arm on the chest does the opposite of both, at the price of a head
 * that passes above the ball. So the claim that straightening early makes the release later is not a consequence of this model; whether
 * it is true of golfers is for data to say. The model cannot decide it, for it leaves out:
 *
 * - the force of the trail arm, which is carried along: no push of the trail hand on the shaft, the very thing the claim may rest on;
 * - everything out of the plane: forearm rotation, which gives a shaft part of its speed and a wrist less of it, side bend, a plane that tilts;
 * - the ground, legs and pelvis, a hub that moves, a shaft that bends, torques that answer to speed and stretch;
 * - any correction on the way: torques run their course whatever the club does, so the depth of the head is left to itself.
 */

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
