import type { Gap } from './cleaning/gaps.ts';
import type { InstantChoice } from './instants/find-instants.ts';
import type { InstantName } from './instants/instant.ts';

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

export interface InstantReadings {
  readonly trail_elbow_flexion_deg: number | null;
  readonly trail_elbow_flexion_deg_sd: number | null;
  readonly lag_deg: number | null;
  readonly lag_deg_sd: number | null;
  readonly shaft_lean_deg: number | null;
  readonly shaft_lean_deg_sd: number | null;
}

/** What one capture of a swing gives. Keys of `swing` are columns of the swings table, `_sd` beside each. */
export interface Measurement {
  readonly swing: Readonly<Record<string, number | null>>;
  /** Seconds from impact. */
  readonly instants: Readonly<Partial<Record<InstantName, number>>>;
  readonly instantDetails: Readonly<Partial<Record<InstantName, InstantReport>>>;
  readonly perInstant: Readonly<Partial<Record<InstantName, InstantReadings>>>;
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
