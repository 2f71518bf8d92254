export {
  ANGLE_ROLES,
  type AngleDefinition,
  type AngleInput,
  type AngleSeries,
  angleSeries,
  type IsbRow,
  type ThreePointRow,
} from './angle/angle-series.ts';
export { type IsbElbow, type IsbElbowPoints, isbElbow } from './angle/isb-elbow.ts';
export { readC3d } from './c3d/read-c3d.ts';
export type { AnalogRecord, Capture, CaptureEvent, FileFault, ReadCapture } from './capture.ts';
export * from './catalogue/index.ts';
export {
  attackAngle,
  flexionRate,
  lagAngle,
  leanInTargetPlane,
  lineTurn,
  shaftLean,
  threePointFlexion,
} from './geometry/angles.ts';
export {
  type CardanSequence,
  cardanAngles,
  fromAxes,
  fromCardan,
  inFrame,
  type Matrix,
  multiply,
  relativeTurn,
  rotate,
  segmentFrame,
  transpose,
} from './geometry/frames.ts';
export { type RigidPose, rigidPose } from './geometry/rigid-pose.ts';
export type { Vector } from './geometry/vector.ts';
export { type InspectInput, type Inspection, inspectCapture } from './inspect-capture.ts';
export { INSTANT_DEFINITIONS } from './instants/definitions.ts';
export type { InstantChoice } from './instants/find-instants.ts';
export { INSTANT_NAMES, type InstantName } from './instants/instant.ts';
export { checkLayout } from './layout/check-layout.ts';
export type { Axis, Channel, Layout } from './layout/layout.ts';
export { type NamedChannels, nameChannels } from './layout/name-channels.ts';
export { type MeasureInput, measureCapture } from './measure-capture.ts';
export { measureTrial } from './measure-trial.ts';
export type {
  InstantReadings,
  InstantReport,
  Measurement,
  MeasureOptions,
  Processing,
} from './measurement.ts';
export type { CaptureProblem, CaptureResult } from './problem.ts';
export { type CaptureRead, readCapture } from './read-capture.ts';
export type { Track, Trial } from './trial.ts';
