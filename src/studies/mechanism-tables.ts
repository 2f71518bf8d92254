import type { Verdict } from './finding.ts';

/** What the mechanism page is drawn from. Slopes are told per step of 10 units, towards earlier straightening or later release. */

export interface MechanismInterval {
  readonly value: number;
  readonly interval: readonly [number, number] | null;
}

/** An arrow of the path diagram. */
export interface MechanismPath extends MechanismInterval {
  readonly from: string;
  readonly to: string;
  /** The step of `from`, such as `10 deg more straightening`, and the unit of the value. */
  readonly step: string;
  readonly unit: string;
  /** `slope` in the unit of `to`, or `odds-ratio` of a better rating or of a yes. */
  readonly scale: 'slope' | 'odds-ratio';
}

/** One golfer of the panel of slopes; slopes per unit of the predictor, as measured. */
export interface MechanismGolfer {
  readonly golfer: string;
  readonly swings: number;
  readonly meanPredictor: number;
  readonly meanOutcome: number;
  readonly own: number | null;
  readonly shrunken: number;
  readonly from: number;
  readonly to: number;
}

/** The main association asked in another way, and what came of it. */
export interface MechanismWay {
  readonly name: string;
  /** In the outcome's unit, for one SD of the predictor inside golfers towards earlier straightening. */
  readonly perSd: MechanismInterval | null;
  readonly perStep: MechanismInterval | null;
  readonly unit: string;
  readonly verdict: Verdict;
  readonly golfers: number;
  readonly swings: number;
}

/** How a number of the strike runs with the release: a curve that may turn. */
export interface MechanismCurve {
  readonly strike: string;
  readonly kind: 'number' | 'ordinal' | 'yes-no';
  readonly points: readonly { readonly at: number; readonly value: number }[];
  readonly turn: MechanismInterval;
  readonly turnKind: 'highest' | 'lowest';
  /** Whether the data show that it turns. */
  readonly curved: boolean;
}

/** What the page of the mechanism is drawn from. */
export interface MechanismTables {
  readonly predictor: { readonly column: string; readonly label: string; readonly unit: string };
  readonly mediator: { readonly column: string; readonly label: string; readonly unit: string } | null;
  readonly outcome: { readonly column: string; readonly label: string; readonly unit: string };
  readonly paths: readonly MechanismPath[];
  /** Elbow to outcome by way of the release: drawn golfers, and the distribution of the product. */
  readonly indirect:
    | (MechanismInterval & { readonly product: readonly [number, number]; readonly unit: string })
    | null;
  readonly golfers: readonly MechanismGolfer[];
  /** Slopes per unit, as measured, on one panel. */
  readonly slopes: { readonly within: MechanismInterval; readonly between: MechanismInterval | null };
  readonly ways: readonly MechanismWay[];
  readonly curves: readonly MechanismCurve[];
  /** Share of leftover variance a cause would have to explain of both. */
  readonly unmeasured: {
    readonly toZero: number;
    readonly intervalToZero: number;
    readonly belowSmallest: number | null;
    readonly benchmarks: readonly { readonly label: string; readonly left: number }[];
  } | null;
}
