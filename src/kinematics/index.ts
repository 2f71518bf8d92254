export {
  type AngleSeries,
  angleSeries,
  type IsbRow,
  seriesOf,
  type ThreePointRow,
} from './angle/angle-series.ts';
export { type AngleSteps, stepsOf } from './angle/angle-steps.ts';
export {
  type ComparedDefinition,
  type ComparedRow,
  compareElbows,
  type ElbowComparison,
} from './angle/compare-elbows.ts';
export { ANGLE_ROLES, type AngleDefinition, type ArmPoints } from './angle/definition.ts';
export { type AngleBudget, type BudgetEntry, budgetOf, type ErrorBudget } from './angle/error-budget.ts';
export { type IsbElbow, type IsbElbowPoints, isbElbow } from './angle/isb-elbow.ts';
export {
  type AngleInput,
  type LengthUnit,
  type Markers,
  type PointTable,
  readPoints,
} from './angle/point-table.ts';
export type { AngleStep } from './angle/step.ts';
export { type ThreePointElbow, type ThreePoints, threePointElbow } from './angle/three-point-elbow.ts';
export type { NewAnalog, NewC3d } from './c3d/new-c3d.ts';
export { readC3d } from './c3d/read-c3d.ts';
export { writeC3d } from './c3d/write-c3d.ts';
export type { AnalogRecord, Capture, CaptureEvent, FileFault, ReadCapture } from './capture.ts';
export * from './catalogue/index.ts';
export { compareReadings } from './compare-readings.ts';
export { type NewCsvCapture, writeCsvCapture } from './csv/write-csv-capture.ts';
export type { DownswingCurves } from './downswing-curves.ts';
export {
  angleBetween,
  attackAngle,
  flexionRate,
  lagAngle,
  leanInTargetPlane,
  lineTurn,
  shaftLean,
  threePointFlexion,
} from './geometry/angles.ts';
export {
  axisOf,
  type CardanSequence,
  cardanAngles,
  type EulerSequence,
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
export {
  forearmFrame,
  humerusFrame,
  humerusFrameFromForearm,
  NEARLY_STRAIGHT_DEG,
  type PelvisPoints,
  pelvisFrame,
  type ThoraxPoints,
  thoraxFrame,
} from './geometry/isb-frames.ts';
export { type JointCoordinateSystem, jointCoordinateSystem } from './geometry/joint-coordinate-system.ts';
export { type ArcFromAttack, arcFromAttack } from './geometry/low-point-on-arc.ts';
export {
  type FittedPlane,
  faceOn,
  fitPlane,
  headingOf,
  lagInPlane,
  leanInPlane,
  planeDirection,
  planeInclination,
} from './geometry/plane.ts';
export { type RigidPose, rigidPose } from './geometry/rigid-pose.ts';
export { SHOULDER_BELOW_ACROMION, shoulderFromAcromion } from './geometry/shoulder-centre.ts';
export { type PlacedFrame, squareAxes, threePointFrame } from './geometry/three-point-frame.ts';
export { TURN_SEQUENCES, type TurnAngles, type TurnSequence, turnAngles } from './geometry/turn-sequences.ts';
export type { Vector } from './geometry/vector.ts';
export { type InspectInput, type Inspection, inspectCapture } from './inspect-capture.ts';
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
export { EXTENSION_ONSET_DROP_DEG } from './metrics/elbow-extension.ts';
export { RELEASE_SHARE } from './metrics/release.ts';
export type { CaptureProblem, CaptureResult } from './problem.ts';
export { type CaptureRead, readCapture } from './read-capture.ts';
export type { Track, Trial } from './trial.ts';
