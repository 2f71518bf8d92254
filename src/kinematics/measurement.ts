import type { Repair } from './cleaning/repair.ts';
import type { DownswingCurves } from './downswing-curves.ts';
import type { InstantChoice } from './instants/find-instants.ts';
import type { InstantName } from './instants/instant.ts';
import type { ElbowDefinition } from './metrics/elbow-isb.ts';
import type { PlaneChoice } from './metrics/swing-plane.ts';
import type { TurnDefinition } from './metrics/turns.ts';
import type { Derivatives } from './motion.ts';
import type { FilledGap } from './prepare-trial.ts';
import type { ChosenProcessing, ProcessingOptions } from './processing-options.ts';

/** Choices of a measurement other than the default ones. */
export interface MeasureOptions extends ProcessingOptions {
  /** Definitions of instants other than the default. */
  readonly instants?: Partial<InstantChoice>;
  /** The part of the downswing that the swing plane is fitted to, other than the default. */
  readonly plane?: Partial<PlaneChoice>;
  /** Leave out what stands beside the columns of the swings table, for many captures where only the table is kept. */
  readonly columnsOnly?: boolean;
  /** Give the curves over the downswing too. */
  readonly curves?: boolean;
}

/** When an instant of the swing was, and how well that is known. */
export interface InstantReport {
  /** Seconds from impact (from the start of the capture where impact is missing). */
  readonly time_s: number;
  /** Frame as the file counts, between frames where the instant is. */
  readonly frame: number;
  /** Standard deviation that flows into the metrics, s. */
  readonly sd_s: number;
  /** Half a frame at least: how far the true moment may be off what the capture resolves, s. */
  readonly uncertainty_s: number;
}

/** What is read at every instant, by its key in the catalogue. */
export type InstantKey =
  | 'trail_elbow_flexion_deg'
  | 'trail_elbow_flexion_isb_deg'
  | 'trail_elbow_flexion_face_on_deg'
  | 'lag_deg'
  | 'lag_plane_deg'
  | 'lag_face_on_deg'
  | 'shaft_lean_deg'
  | 'pelvis_turn_deg'
  | 'thorax_turn_deg'
  | 'hand_speed_mps';

/** Each with its standard deviation; null where it cannot be read. */
export type InstantReadings = Readonly<Record<InstantKey | `${InstantKey}_sd`, number | null>>;

/** A plane fitted to a part of the downswing, and how well the path lies in it. */
export interface SwingPlaneReport {
  readonly path: PlaneChoice['path'];
  readonly from: PlaneChoice['from'];
  readonly to: 'impact';
  readonly frames: number;
  /** Root of the mean square distance of the path from the plane, mm. */
  readonly residual_mm: number;
  readonly inclination_deg: number;
  readonly direction_deg: number;
  /** Whether the lag and lean in the plane are those of this one. */
  readonly used: boolean;
}

/** What one capture of a swing gives. Keys of `swing` are columns of the swings table, `_sd` beside each. */
export interface Measurement {
  readonly swing: Readonly<Record<string, number | null>>;
  /** Seconds from impact. */
  readonly instants: Readonly<Partial<Record<InstantName, number>>>;
  readonly instantDetails: Readonly<Partial<Record<InstantName, InstantReport>>>;
  /** The same instants by the definitions that were not chosen. */
  readonly alternativeInstants: Readonly<
    Partial<Record<InstantName, Readonly<Record<string, InstantReport>>>>
  >;
  readonly perInstant: Readonly<Partial<Record<InstantName, InstantReadings>>>;
  /** Quantities of the catalogue that have no column in the swings table, by their key, `_sd` beside each. */
  readonly quantities: Readonly<Record<string, number | null>>;
  readonly swingPlanes: readonly SwingPlaneReport[];
  /** Where they were asked for; null where there is no downswing to give them over. */
  readonly curves?: DownswingCurves | null;
  readonly processing: Processing;
  readonly warnings: readonly string[];
}

/** What was done to the data between the file and the numbers. Frames are numbered as the file does. */
export interface Processing {
  readonly rateHz: number;
  readonly filter: {
    /** In words, with the correction of the cut-off for two passes. */
    readonly method: string;
    readonly cutoff: ChosenProcessing['cutoff'];
    readonly throughImpact: boolean;
    /** Of each landmark; null where the capture was too coarse to filter. */
    readonly landmarks: Readonly<Record<string, LandmarkFilter | null>>;
    /** Of the positions in which the top is looked for. */
    readonly topCutoffHz: number | null;
  };
  readonly derivatives: { readonly method: Derivatives; readonly inWords: string };
  readonly ball: 'given' | 'head at address' | 'unknown';
  readonly definitions: InstantChoice;
  /** What the turns were read from, and what stands for the centre of the shoulder in the ISB elbow. */
  readonly segmentDefinitions: {
    readonly pelvisTurn: TurnDefinition['definition'];
    readonly thoraxTurn: TurnDefinition['definition'];
    readonly shoulder: ElbowDefinition['shoulder'] | null;
  };
  readonly noise: 'given' | 'estimated';
  /** Standard deviation of each coordinate of each landmark, mm. */
  readonly noise_mm: Readonly<Record<string, number>>;
  /** Exchanged, jumping and doubled markers, and what was done about them. */
  readonly repairs: readonly Repair[];
  readonly longestSplineGap_ms: number;
  readonly gaps: readonly FilledGap[];
  /** Median length of each segment that should be rigid and its largest change from takeaway to impact, mm. */
  readonly segments: readonly {
    readonly from: string;
    readonly to: string;
    readonly length_mm: number;
    readonly largestChange_mm: number;
  }[];
}

export interface LandmarkFilter {
  /** Cut-off of both passes together, and the one that one pass was designed with. */
  readonly cutoffHz: number;
  readonly onePassCutoffHz: number;
  /** Noise of each coordinate by residual analysis, where that chose the cut-off. */
  readonly residualNoise_mm: number | null;
}
