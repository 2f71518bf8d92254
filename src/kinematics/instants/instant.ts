/** The moments of a swing, in order. */
export const INSTANT_NAMES = [
  'address',
  'takeaway',
  'top',
  'lead arm parallel',
  'delivery',
  'impact',
  'full extension',
] as const;

/** The name of an instant of the swing, in words. */
export type InstantName = (typeof INSTANT_NAMES)[number];

export interface Instant {
  /** Frames from the start of the capture, which may lie between frames. */
  readonly frame: number;
  /** Standard deviation of the moment, s, as it enters the uncertainty of metrics. */
  readonly sd_s: number;
}

/** An instant, or why it could not be found. */
export type Found = { readonly instant: Instant } | { readonly missing: string };

/** Standard deviation of a moment that may lie anywhere within the frame it was found in. */
export function withinFrame(rateHz: number): number {
  return 1 / (rateHz * Math.sqrt(12));
}
