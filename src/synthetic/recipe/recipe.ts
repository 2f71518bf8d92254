import type { Deviation, GolferDistributions } from '../bodies/index.ts';
import type { ModelledMetric } from '../model/modelled-metrics.ts';

/** Where a number comes from. `invented` and `design assumption` are never to be cited as measured. */
export interface Source {
  readonly kind: 'published' | 'check value' | 'formula' | 'design assumption' | 'invented';
  readonly confidence: 'read in source' | 'from memory' | 'computed here' | 'none';
  readonly quantity: string;
  readonly value?: unknown;
  readonly sd?: unknown;
  readonly unit?: string;
  readonly population?: string;
  readonly source?: string;
  readonly note?: string;
}

/** For each number of the block the key of its source; `*` stands for all that are not named. */
export type Cited = { readonly source: Readonly<Record<string, string>> };

/** A value at either end of the skill scale; in between it is interpolated by handicap. */
export interface BySkill {
  readonly skilled: number;
  readonly lessSkilled: number;
}

/**
 * One metric, as a true value before measurement. The SDs are totals: what comes in through `paths` is part of them.
 */
export interface MetricRecipe extends Cited {
  readonly mean: BySkill;
  /** Between golfers of the same skill. */
  readonly golferSd: BySkill;
  /** Between visits of a golfer: the day's form. */
  readonly sessionSd: number;
  /** Between swings of a visit. */
  readonly swingSd: BySkill;
  /** How uncertain one measured value is. */
  readonly measurementSd: number;
  /** Write the uncertainty of each value in the column of the same name with `_sd`. */
  readonly reportSd?: boolean;
  /** A floor that the body or the definition sets. */
  readonly atLeast?: number;
  /** Change of this metric per unit of another one, as deviations from what is usual at the golfer's skill. */
  readonly paths?: Readonly<Partial<Record<ModelledMetric, number>>>;
  /** The slopes between the lasting deviations of golfers, where they are not those of `paths`. All of them: one not named is 0. */
  readonly golferPaths?: Readonly<Partial<Record<ModelledMetric, number>>>;
  /** How the slopes of `paths` differ between golfers: SD of each. The other SDs are then totals at the mean slope. */
  readonly pathSds?: Readonly<Partial<Record<ModelledMetric, number>>>;
  /** Added in the drill task. */
  readonly drillTaskShift?: number;
  /** In the drill task the value is multiplied by the share of speed to this power: 1 for speeds, below 0 for times. */
  readonly speedPower?: number;
}

export interface MeanSd {
  readonly mean: number;
  readonly sd: number;
}

export interface Visit {
  readonly phase: 'baseline' | 'training' | 'post' | 'retention';
  /** Days from the start of the trial (or of the period). */
  readonly day: number;
}

export interface ParallelDesign extends Cited {
  readonly kind: 'parallel';
  readonly controlShare: number;
  readonly assignedDay: number;
  readonly jitterDays: number;
  readonly visits: readonly Visit[];
}
export interface BeforeAfterDesign extends Cited {
  readonly kind: 'before-after';
  readonly assignedDay: number;
  readonly jitterDays: number;
  readonly visits: readonly Visit[];
}
export interface CrossoverDesign extends Cited {
  readonly kind: 'crossover';
  readonly assignedDay: number;
  readonly jitterDays: number;
  readonly visits: readonly Visit[];
  /** Days from the start of the first period to the start of the second. */
  readonly periodDays: number;
  /** The share of the drill's effect that is still there in a second, control period. */
  readonly leftAfterWashout: number;
}
export interface SteppedStartDesign extends Cited {
  readonly kind: 'stepped-start';
  readonly waves: number;
  readonly daysBetweenWaves: number;
  /** Each group of golfers starts the drill the day after one of these waves (the first wave is 1). */
  readonly startsAfterWave: readonly number[];
}
/** Nobody is assigned to anything: visits as they come. */
export interface RosterDesign extends Cited {
  readonly kind: 'roster';
  readonly jitterDays: number;
  readonly visits: readonly Visit[];
}
/** Few golfers, many sessions each: stretches without the drill (baseline) and with it (training). */
export interface SeriesDesign extends Cited {
  readonly kind: 'series';
  readonly daysBetweenSessions: number;
  /** One line of stretches for each golfer, dealt at random; repeated when there are more golfers. */
  readonly lines: readonly (readonly Stretch[])[];
  /** Share of the drill's effect that stays in a baseline stretch after a training one. */
  readonly leftAfterWithdrawal: number;
  /** Correlation of the day's form with that of the session before. */
  readonly autocorrelation: number;
}
export interface Stretch {
  readonly phase: 'baseline' | 'training';
  readonly sessions: number;
}
export type Design =
  | ParallelDesign
  | BeforeAfterDesign
  | CrossoverDesign
  | SteppedStartDesign
  | RosterDesign
  | SeriesDesign;

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

export interface Recipe {
  readonly invented: true;
  readonly name: string;
  readonly title: string;
  readonly description: string;
  readonly sources: Readonly<Record<string, Source>>;
  readonly roster: Cited & {
    readonly golfers: number;
    readonly instructors: number;
    /** A normal distribution cut at both ends. */
    readonly handicap: MeanSd & { readonly lowest: number; readonly highest: number };
    readonly skilledHandicap: number;
    readonly lessSkilledHandicap: number;
    readonly leftHandedShare: number;
    readonly heightCm: MeanSd;
    readonly ageBands: readonly string[];
  };
  readonly session: Cited & {
    readonly firstDate: string;
    readonly fullSwings: number;
    readonly drillSwings: number;
    readonly speedIntentPct: { readonly from: number; readonly to: number };
    readonly rateHz: number;
    readonly device: string;
    readonly surface: string;
    readonly club: string;
  };
  readonly metrics: Readonly<Record<ModelledMetric, MetricRecipe>>;
  /** Errors of marker placement: one for each visit, shared by the columns of the group. */
  readonly placement: readonly (Cited & {
    readonly metrics: readonly ModelledMetric[];
    readonly sd: number;
  })[];
  /** Uncertainty of single values lies within this share of `measurementSd`, evenly. */
  readonly measurement: Cited & { readonly spread: number };
  readonly strike: Cited & {
    readonly staticLoftDeg: number;
    readonly headMassKg: number;
    readonly ballMassKg: number;
    readonly restitution: number;
    /** Share of ball speed lost per square millimetre of offset. */
    readonly offsetLossPerMm2: number;
    readonly ballSpeedMeasurementSd: number;
    readonly arcRadiusM: number;
    readonly planeInclinationDeg: number;
    readonly lowPointSdCm: number;
    /** Low point at which the ground comes first in half of the swings, and the SD of that limit. */
    readonly groundFirstLowPointCm: MeanSd;
    readonly rating: {
      readonly best: number;
      readonly bestLeanDeg: number;
      readonly lossPerLeanDeg2: number;
      readonly lossPerOffsetMm: number;
      readonly lossForGroundFirst: number;
      /** Gain per degree of lean, without end; beside the loss around the best lean. */
      readonly gainPerLeanDeg?: number;
      /** SD of what the rater adds by chance; normal unless logistic is asked for. */
      readonly raterSd: number;
      readonly raterNoise?: 'normal' | 'logistic';
      /** What this rater adds to every impression. */
      readonly raterBias?: number;
      /** Impressions at which the rating goes from 1 to 2, 2 to 3 and so on; halves between whole numbers unless given. */
      readonly thresholds?: readonly number[];
    };
  };
  readonly learning: Cited & {
    /** Direct effect of the drill on full swings, over and above practice; the paths carry it on. */
    readonly drill: Readonly<Partial<Record<ModelledMetric, MeanSd>>>;
    /** What everybody gains by practising. */
    readonly practice: Readonly<Partial<Record<ModelledMetric, MeanSd>>>;
    /** Effect on full swings as a share of the effect in the drill task. */
    readonly carryOver: number;
    readonly rampDays: number;
    readonly practiceRampDays: number;
    /** Shares left at the first retention visit; at later ones it goes on falling at that rate. */
    readonly retained: { readonly drill: number; readonly practice: number };
    /** 0: repetitions do not matter; 1: the effect is proportional to them. */
    readonly doseShare: number;
  };
  readonly practiceLog: Cited & {
    readonly weeks: number;
    readonly boutsPerWeek: number;
    /** Share of the planned bouts a golfer does: even within mean +- halfWidth. */
    readonly adherence: { readonly mean: number; readonly halfWidth: number };
    readonly reps: { readonly from: number; readonly to: number };
    readonly distanceM: { readonly from: number; readonly to: number };
    readonly groundFirstShare: number;
    readonly drillName: string;
    readonly controlName: string;
  };
  readonly dropout: Cited & {
    /** Share that leaves before the end of training among those who show no change. */
    readonly share: number;
    /** Observed change so far in this metric shifts the log odds of leaving by `perUnit` for each unit. */
    readonly metric: ModelledMetric;
    readonly perUnit: number;
  };
  readonly missing: Cited & {
    readonly valueShare: number;
    /** Share of visits missed at random, first baseline visit excepted. */
    readonly visitShare: number;
  };
  /** Only golfers whose mean in the first baseline visit lies on this side of the limit are taken. */
  readonly selection?: Cited & {
    readonly metric: ModelledMetric;
    readonly side: 'above' | 'below';
    readonly limit: number;
  };
  /** Several instructors with unequal numbers and kinds of pupils, who may differ in what their pupils gain by post. */
  readonly teaching?: Cited & {
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
  };
  /** Two or more devices: one after the other by visit, or all at once on the same swings (a session row for each). */
  readonly devices?: Cited & {
    readonly pairing: 'same-swings' | 'alternate-visits';
    readonly list: readonly Device[];
  };
  /** Curves over the downswing, in curves.csv beside the tables. */
  readonly curves?: Readonly<Partial<Record<CurveQuantity, CurveRecipe>>>;
  /** Chains of metrics whose links truth.json states, within golfers and between them. */
  readonly mechanism?: Cited & {
    readonly chains: readonly (readonly ModelledMetric[])[];
    /** Correlations, over golfers, of slopes that have an SD; a slope may stand in one of them. */
    readonly slopeCorrelations?: readonly {
      readonly first: PathName;
      readonly second: PathName;
      readonly correlation: number;
    }[];
  };
  /** Where swings come from: the paths of `metrics`, or the mechanics of simulated bodies, with measurement on top. */
  readonly movement?: Cited & {
    readonly model: 'paths' | 'mechanics';
    /** Changes to what simulated golfers are drawn from (bodies/distributions.ts). */
    readonly golfers?: Changes<GolferDistributions>;
    /** What the drill does to full swings, over and above practice, and what practice does. */
    readonly drill?: Readonly<Partial<Record<TimingParameter, MeanSd>>>;
    readonly practice?: Readonly<Partial<Record<TimingParameter, MeanSd>>>;
  };
  readonly design: Design;
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

/** Quantities of the catalogue that a recipe can make curves of. */
export const CURVE_QUANTITIES = ['trail_elbow_flexion', 'lag_angle'] as const;
export type CurveQuantity = (typeof CURVE_QUANTITIES)[number];
