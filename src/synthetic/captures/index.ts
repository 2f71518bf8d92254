/** Captures from simulated swings: from the plane of the mechanics to files with their truth beside them. */

export { CAPTURE_SETTINGS, type CaptureSettings, CLEAN_CAPTURE } from './capture-settings.ts';
export {
  captureFile,
  captureSwing,
  FIRST_FRAME,
  type Planted,
  type SimulatedCapture,
  type SwingToCapture,
  truthText,
} from './capture-swing.ts';
export type { CapturedSwing } from './capture-task.ts';
export { type CaptureTruth, captureTruth } from './capture-truth.ts';
export { type Lab, layoutOf, PLAIN_LAB } from './lab.ts';
export { LANDMARKS, MARKERS, type Placer, type Point, placer, RIGID_SEGMENTS } from './place-landmarks.ts';
export { loopOf, PLANE_STATE, type PlanePoints, planePoints } from './plane-state.ts';
export { type NoPlaneSwing, type PlaneSwing, planeSwing } from './plane-swing.ts';
export { layoutName, type WriteCapturesOptions, writeCaptures } from './write-captures.ts';
