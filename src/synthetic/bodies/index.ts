/** Golfers for the mechanics: bodies, skill, timing, and how all of that varies. */

export { type Build, bodyOfBuild, REFERENCE_HEIGHT_M } from './body-of-build.ts';
export {
  type GolferDistributions,
  type MeanSdBySkill,
  type PerJoint,
  type SessionCourse,
  SIMULATED_GOLFERS,
  type Variation,
} from './distributions.ts';
export { drawGolfer, type MechanicalGolfer } from './draw-golfer.ts';
export { type Deviation, type DrawnSwing, drawSession, drawSwing } from './draw-swing.ts';
export { fitTrailArm } from './fit-trail-arm.ts';
export {
  MECHANICAL_COLUMNS,
  type MechanicalColumn,
  type MechanicalSwing,
  type MechanicalValues,
  mechanicalSwing,
} from './mechanical-swing.ts';
