import { DEFAULT_CHOICE, type InstantChoice } from './instants/find-instants.ts';
import type { Layout } from './layout/layout.ts';
import type { Derivatives } from './motion.ts';

/** Cut-offs of both filter passes together, Hz; body counts the grip, which moves with the hands. */
export interface Cutoffs {
  readonly body_Hz?: number;
  readonly club_Hz?: number;
}

/** How a capture is processed; what is left out takes its default. */
export interface ProcessingOptions {
  readonly cutoff?: 'by residual analysis' | Cutoffs;
  readonly derivatives?: Derivatives;
  /** Longest gap that is filled by a spline, ms. */
  readonly longestGap_ms?: number;
  /** Filter across impact as if nothing happened there. */
  readonly filterThroughImpact?: boolean;
}

/**
 * 20 Hz keeps the elbow (its straightening lasts a tenth of a second or more, so little of it lies above 10 Hz, of
 * which 94 % passes); 40 Hz keeps the head, which goes round at 4 to 7 turns a second near impact: at 20 Hz its
 * path would shrink by half a per cent to a centimetre.
 */
export const DEFAULT_CUTOFF_HZ = { body: 20, club: 40 } as const;
/** The top is looked for in positions filtered at this frequency: at 40 Hz noise decides where a slow turn is slowest. */
export const TOP_CUTOFF_HZ = 10;
export const DEFAULT_LONGEST_GAP_MS = 50;

/** Processing with every choice made. */
export interface ChosenProcessing {
  readonly cutoff: 'default' | 'given' | 'by residual analysis';
  readonly cutoffHz: { readonly body: number; readonly club: number };
  readonly derivatives: Derivatives;
  readonly longestGap_s: number;
  readonly filterThroughImpact: boolean;
  readonly instants: InstantChoice;
}

/** The choices of the layout, with those of the caller before them. */
export function chooseProcessing(
  layout: Layout,
  options: ProcessingOptions & { readonly instants?: Partial<InstantChoice> },
): ChosenProcessing {
  const { cutoff, derivatives, longestGap_ms, filterThroughImpact } = { ...layout.processing, ...options };
  const given: Cutoffs = typeof cutoff === 'object' ? cutoff : {};
  const chosen = typeof cutoff === 'object' ? 'given' : (cutoff ?? 'default');
  return {
    cutoff: chosen,
    cutoffHz: {
      body: given.body_Hz ?? DEFAULT_CUTOFF_HZ.body,
      club: given.club_Hz ?? DEFAULT_CUTOFF_HZ.club,
    },
    derivatives: derivatives ?? 'central differences',
    longestGap_s: (longestGap_ms ?? DEFAULT_LONGEST_GAP_MS) / 1000,
    filterThroughImpact: filterThroughImpact ?? false,
    instants: { ...DEFAULT_CHOICE, ...layout.instants, ...options.instants },
  };
}
