import type { InputFile } from '../../dataset/index.ts';
import type { PointTable } from '../../kinematics/index.ts';
import type { PublishedAngles } from './published.ts';

/** A table of points and what was published about it. */
export interface AngleFindingInput {
  readonly table: PointTable;
  /** What was published, where there is something to reproduce. */
  readonly published?: PublishedAngles;
  /** The files behind both, for the provenance. */
  readonly inputs?: readonly InputFile[];
  /** SD of each coordinate of each marker. Given, published numbers are taken to come from other markers so noisy. */
  readonly noise_mm?: number;
  /** The row worked through; default the first published one, else the first that gives an angle. */
  readonly row?: number;
  /** Differences up to this are none that matter, deg. */
  readonly tolerance_deg?: number;
}

/** Differences that no report of a joint angle would show: common practice, no source. */
export const DEFAULT_TOLERANCE_DEG = 0.1;

/** Noise of a marker's coordinate for the error budget where none is given, mm: what optical systems usually state. */
export const ASSUMED_NOISE_MM = 1;
