import type { ModelledMetric } from '../model/modelled-metrics.ts';
import type {
  CurveQuantity,
  CurveRecipe,
  DevicesRecipe,
  MechanismRecipe,
  MovementRecipe,
  TeachingRecipe,
} from './blocks.ts';
import type { Design } from './designs.ts';
import type { BySkill, Cited, MeanSd, Source } from './values.ts';

export * from './blocks.ts';
export type * from './designs.ts';
export type * from './values.ts';

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

/**
 * What a cohort is drawn from: every number with the source it is after. The JSON schema is
 * data-schemas/recipe.schema.json.
 */
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
  readonly teaching?: TeachingRecipe;
  /** Two or more devices: one after the other by visit, or all at once on the same swings (a session row for each). */
  readonly devices?: DevicesRecipe;
  /** Curves over the downswing, in curves.csv beside the tables. */
  readonly curves?: Readonly<Partial<Record<CurveQuantity, CurveRecipe>>>;
  /** Chains of metrics whose links truth.json states, within golfers and between them. */
  readonly mechanism?: MechanismRecipe;
  /** Where swings come from: the paths of `metrics`, or the mechanics of simulated bodies, with measurement on top. */
  readonly movement?: MovementRecipe;
  readonly design: Design;
}
