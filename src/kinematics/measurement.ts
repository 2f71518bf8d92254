import type { Gap } from './cleaning/gaps.ts';
import type { InstantChoice } from './instants/find-instants.ts';
import type { InstantName } from './instants/instant.ts';
import type { ElbowDefinition } from './metrics/elbow-isb.ts';
import type { PlaneChoice } from './metrics/swing-plane.ts';
import type { TurnDefinition } from './metrics/turns.ts';

export interface MeasureOptions {
  /** Cut-off of both filter passes together for body and for club markers, Hz. */
  readonly bodyCutoffHz?: number;
  readonly clubCutoffHz?: number;
  /** Longest gap that is filled, s. */
  readonly longestGap_s?: number;
  /** Filter across impact as if nothing happened there. */
  readonly filterThroughImpact?: boolean;
  /** Definitions of instants other than the default. */
  readonly instants?: Partial<InstantChoice>;
  /** The part of the downswing that the swing plane is fitted to, other than the default. */
  readonly plane?: Partial<PlaneChoice>;
  /** Leave out what stands beside the columns of the swings table, for many captures where only the table is kept. */
  readonly columnsOnly?: boolean;
}

/**
 * 20 Hz keeps the elbow (its straightening lasts a tenth of a second or more, so little of it lies above 10 Hz, of
 * which 94 % passes); 40 Hz keeps the head, which goes round at 4 to 7 turns a second near impact: at 20 Hz its
 * path would shrink by half a per cent to a centimetre.
 */
export const DEFAULT_CUTOFF_HZ = { body: 20, club: 40 } as const;
/** The top is looked for in positions filtered at this frequency: at 40 Hz noise decides where a slow turn is slowest. */
export const TOP_CUTOFF_HZ = 10;
export const DEFAULT_LONGEST_GAP_S = 0.05;

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
  | 'lag_deg'
  | 'lag_plane_deg'
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
  readonly processing: Processing;
  readonly warnings: readonly string[];
}

export interface Processing {
  readonly rateHz: number;
  /** Null where the capture was too coarse to filter. */
  readonly bodyCutoffHz: number | null;
  readonly clubCutoffHz: number | null;
  readonly filteredThroughImpact: boolean;
  readonly ball: 'given' | 'head at address' | 'unknown';
  readonly definitions: InstantChoice;
  /** What the turns were read from, and what stands for the centre of the shoulder in the ISB elbow. */
  readonly segmentDefinitions: {
    readonly pelvisTurn: TurnDefinition['definition'];
    readonly thoraxTurn: TurnDefinition['definition'];
    readonly shoulder: ElbowDefinition['shoulder'] | null;
  };
  /** Standard deviation of each coordinate of each landmark, mm. */
  readonly noise_mm: Readonly<Record<string, number>>;
  readonly gaps: readonly (Gap & { readonly landmark: string })[];
  /** Median length of each segment that should be rigid and its largest change from takeaway to impact, mm. */
  readonly segments: readonly {
    readonly from: string;
    readonly to: string;
    readonly length_mm: number;
    readonly largestChange_mm: number;
  }[];
}
