import { type Lab, PLAIN_LAB } from './lab.ts';

/** What a capture system sees of a swing, and what it gets wrong. All sizes are design assumptions. */
export interface CaptureSettings {
  readonly rateHz: number;
  readonly lab: Lab;
  readonly encoding: 'float' | 'integer';
  /** Standard deviation of each coordinate of each marker, mm. */
  readonly noise_mm: number;
  /**
   * Root mean square of the slide of skin under a marker, each coordinate, mm. It goes with the turn of the lead arm, in waves
   * of at most three a turn, so that it comes again with the movement and no filter takes it out. None on the club.
   */
  readonly wobble_mm: number;
  /** Gaps in a capture: how many on average, and how long on average (ms), their lengths falling off geometrically. */
  readonly gaps: { readonly mean: number; readonly length_ms: number };
  /** Share of captures in which two markers have each other's labels for a time of this average length (ms). */
  readonly swaps: { readonly share: number; readonly length_ms: number };
  /** How long the golfer stands still before the first movement (s). */
  readonly still_s: number;
}

/**
 * The capture system that is imagined unless another is given: 240 frames a second, 0.5 mm of noise, short gaps and a
 * few exchanged markers.
 */
export const CAPTURE_SETTINGS: CaptureSettings = {
  rateHz: 240,
  lab: PLAIN_LAB,
  encoding: 'float',
  noise_mm: 0.5,
  wobble_mm: 0,
  gaps: { mean: 0.5, length_ms: 25 },
  swaps: { share: 0.02, length_ms: 120 },
  still_s: 0.35,
};

/** Nothing that a capture system gets wrong: exact geometry, but for what 32-bit floats round off. */
export const CLEAN_CAPTURE: CaptureSettings = {
  ...CAPTURE_SETTINGS,
  noise_mm: 0,
  wobble_mm: 0,
  gaps: { mean: 0, length_ms: 25 },
  swaps: { share: 0, length_ms: 120 },
};
