import type { Deviation, GolferDistributions } from '../bodies/index.ts';
import type { ModelledMetric } from '../model/modelled-metrics.ts';
import type { Cited, MeanSd } from './values.ts';

/** A path of the model: what one unit of `from` does to `to`. */
export interface PathName {
  readonly from: ModelledMetric;
  readonly to: ModelledMetric;
}

export interface Device {
  readonly name: string;
  readonly rateHz: number;
  /** What this device adds to the true value. */
  readonly bias: Readonly<Partial<Record<ModelledMetric, number>>>;
  /** Its errors, of placement and of single values, as a multiple of those of the recipe. */
  readonly errorFactor: number;
}

/** How the curve of a quantity over the downswing is made; each value is laid through values of the swing at its instants. */
export interface CurveRecipe extends Cited {
  /** Metrics whose values the curve goes through, and where: per cent of the downswing, top 0, impact 100. */
  readonly through: readonly { readonly pct: number; readonly sumOf: readonly ModelledMetric[] }[];
  /** SD of slow departures from the line through those values, zero at them. */
  readonly golferSd: number;
  readonly sessionSd: number;
  readonly swingSd: number;
  /** SD of the error of a single sample. */
  readonly sampleSd: number;
  /** What the drill does: nothing outside the window, a raised cosine of this height inside. */
  readonly window?: {
    readonly fromPct: number;
    readonly toPct: number;
    readonly height: number;
    readonly heightSd: number;
  };
}

/** Several instructors with unequal numbers and kinds of pupils. */
export interface TeachingRecipe extends Cited {
  readonly metric: ModelledMetric;
  /** SD between instructors of the gain of their pupils in `metric`, over and above that of practice. */
  readonly effectSd: number;
  /** Pupils of each instructor. */
  readonly pupils: readonly number[];
  /** Instructors by number, those who get the better players first. */
  readonly betterPlayersFirst: readonly number[];
  /** SD, in strokes, of what else decides who goes to whom; 0 sorts by handicap. */
  readonly handicapNoise: number;
  /** Gain in `metric` for each stroke of handicap above the mean of the recipe, whoever teaches. */
  readonly gainPerStroke: number;
}

/** Two or more devices that measure the swings. */
export interface DevicesRecipe extends Cited {
  readonly pairing: 'same-swings' | 'alternate-visits';
  readonly list: readonly Device[];
}

/** Chains of metrics whose links are stated as true. */
export interface MechanismRecipe extends Cited {
  readonly chains: readonly (readonly ModelledMetric[])[];
  /** Correlations, over golfers, of slopes that have an SD; a slope may stand in one of them. */
  readonly slopeCorrelations?: readonly {
    readonly first: PathName;
    readonly second: PathName;
    readonly correlation: number;
  }[];
}

type Changes<T> = T extends number ? number : { readonly [K in keyof T]?: Changes<T[K]> };

/**
 * What a drill or practice does to how a golfer swings: onsets of the torques (ms, positive = later), strength (a share), turn, lead arm
 * against the trunk and cock at the top (deg), and where the ball lies (cm, positive = farther ahead).
 */
export const TIMING_PARAMETERS = [
  'trunk_ms',
  'shoulder_ms',
  'wrist_ms',
  'strength',
  'turn_deg',
  'arm_deg',
  'lag_deg',
  'ball_cm',
] as const satisfies readonly (keyof Deviation)[];
export type TimingParameter = (typeof TIMING_PARAMETERS)[number];

/** Where swings come from. */
export interface MovementRecipe extends Cited {
  readonly model: 'paths' | 'mechanics';
  /** Changes to what simulated golfers are drawn from (bodies/distributions.ts). */
  readonly golfers?: Changes<GolferDistributions>;
  /** What the drill does to full swings, over and above practice, and what practice does. */
  readonly drill?: Readonly<Partial<Record<TimingParameter, MeanSd>>>;
  readonly practice?: Readonly<Partial<Record<TimingParameter, MeanSd>>>;
}

/** Quantities of the catalogue that a recipe can make curves of. */
export const CURVE_QUANTITIES = ['trail_elbow_flexion', 'lag_angle'] as const;
export type CurveQuantity = (typeof CURVE_QUANTITIES)[number];
