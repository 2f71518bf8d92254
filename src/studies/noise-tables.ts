/** What the page of the noise study is drawn from. All values are in the metric's unit unless the name says otherwise. */

/** SD of one source of variance, and its share of the variance of a single swing. */
export interface NoisePart {
  readonly part: 'golfer' | 'session' | 'swing';
  readonly sd: number | null;
  readonly interval: readonly [number, number] | null;
  readonly share: number | null;
  /** The same by restricted maximum likelihood, with the profile interval of the likelihood. */
  readonly likelihoodSd: number | null;
  readonly likelihoodInterval: readonly [number, number] | null;
}

/** The smallest change that can be seen between two times, each the mean of so many sessions of so many swings. */
export interface DetectableCell {
  readonly sessions: number;
  readonly swings: number;
  readonly smallest: number;
  readonly interval: readonly [number, number];
  /** Whether the smallest change that matters is at least that; null where none is known. */
  readonly visible: boolean | null;
}

/** One of the six intraclass correlations of session means. */
export interface CorrelationRow {
  readonly name: string;
  readonly otherName: string;
  readonly form: 'one-way' | 'agreement' | 'consistency';
  readonly of: 'single' | 'mean';
  readonly estimate: number | null;
  readonly interval: readonly [number, number] | null;
}

/** The mean and the noise of one golfer, in the unit of the metric. */
export interface GolferNoise {
  readonly golfer: string;
  readonly sessions: number;
  readonly swings: number;
  readonly mean: number;
  /** SD of swings around their session's mean; null with one swing in each session. */
  readonly swingSd: number | null;
}

/** The noise of one device: SDs of swings and of sessions, in the unit of the metric. */
export interface DeviceNoise {
  readonly device: string;
  readonly golfers: number;
  readonly sessions: number;
  readonly swings: number;
  readonly swingSd: number | null;
  readonly sessionSd: number | null;
}

/** How two devices, or two definitions, agree: first minus second. */
export interface Agreement {
  readonly kind: 'devices' | 'definitions';
  readonly first: string;
  readonly second: string;
  /** How readings were set against each other, in words. */
  readonly pairing: string;
  readonly golfers: number;
  readonly pairs: number;
  readonly mean: number;
  readonly meanInterval: readonly [number, number];
  /** SD of the difference of a single pair. */
  readonly sd: number;
  readonly lower: number;
  readonly lowerInterval: readonly [number, number];
  readonly upper: number;
  readonly upperInterval: readonly [number, number];
  readonly level: number;
  /** Change of the difference for each unit of the mean of both, over golfers; null with too few. */
  readonly slope: number | null;
  readonly slopeInterval: readonly [number, number] | null;
  /** How swings of one pair of sessions move together in both; null where it cannot be seen. */
  readonly together: number | null;
  readonly points: readonly { readonly golfer: string; readonly mean: number; readonly difference: number }[];
}

/** What the page on noise is drawn from. */
export interface NoiseTables {
  /** Sessions and swings that a golfer has now at each time. */
  readonly now: { readonly sessions: number; readonly swings: number };
  /** `repeats`: sessions of one phase; `untaught`: golfers without the drill; `all`: teaching is in it; `one-session`: no repeats. */
  readonly basis: 'repeats' | 'untaught' | 'all' | 'one-session' | 'none';
  readonly parts: readonly NoisePart[];
  readonly detectable: readonly DetectableCell[];
  readonly correlations: readonly CorrelationRow[];
  readonly golfers: readonly GolferNoise[];
  readonly devices: readonly DeviceNoise[];
  readonly agreement: Agreement | null;
}
