import type { InstantName } from '../instants/instant.ts';
import type { MetricColumn } from './generated/columns.ts';

/** The unit of a metric, as reports write it. */
export type MetricUnit =
  | 'deg'
  | 'deg/s'
  | 'ms'
  | '%'
  | 'm/s'
  | 'cm'
  | 'mm'
  | 'ratio'
  | 'rating 1 to 5'
  | 'yes/no';

/** Whether a metric is a number, a rating in steps, or yes or no. */
export type MetricKind = 'number' | 'ordinal' | 'yes-no';

/** How well the source of a definition is known. */
export type SourceKnown =
  | 'checked against worked examples'
  | 'abstract read'
  | 'from memory'
  | 'computed here'
  | 'common practice';

/** How values look when they are in another unit or convention, and how to put them right. */
export interface SuspectReading {
  /** What the values look like instead, in words. */
  readonly reads: string;
  /** The median of the column lies in this closed range (asked of five values or more). */
  readonly medianBetween?: readonly [number, number];
  /** Every value of the column lies in this closed range (asked of five values or more, not all equal). */
  readonly allWithin?: readonly [number, number];
  /** A single value that is not plausible lies in this closed range. */
  readonly cellBetween?: readonly [number, number];
  /** How sure the reading is when the whole column shows it; an error unless said. */
  readonly severity?: 'error' | 'warning';
  readonly remedy: string;
}

/** One metric: the only place where its meaning, unit and sign are written. */
export interface MetricDefinition {
  readonly id: string;
  readonly column: MetricColumn;
  /** Changes whenever the meaning or the equation does. */
  readonly version: string;
  readonly label: string;
  readonly unit: MetricUnit;
  readonly kind: MetricKind;
  /** Decimals worth showing. */
  readonly decimals: number;
  readonly sign: string;
  readonly meaning: string;
  readonly equation: string;
  /** Landmarks of the capture layout that it needs. */
  readonly points: readonly string[];
  /** Other sets of landmarks, each used before `points` where a capture has it; the first the best. */
  readonly pointsBefore?: readonly (readonly string[])[];
  /** The instant at which it is read, or null when it spans several. */
  readonly instant: string | null;
  readonly source: string;
  readonly sourceKnown: SourceKnown;
  readonly confusedWith: readonly string[];
  /** Outside this closed range a value cannot be right. */
  readonly possible: readonly [number, number];
  /** Outside this closed range a value deserves a look. */
  readonly plausible: readonly [number, number];
  readonly suspect: readonly SuspectReading[];
  /** Whether an exact 0 is an ordinary value, or more likely a blank that became a number. */
  readonly exactZero: 'value' | 'unlikely';
  /** +1 more is better, -1 less is better, 0 neither is better in itself. */
  readonly goodDirection: 1 | -1 | 0;
  readonly goodDirectionWhy: string;
  readonly example: number;
}

/** A quantity that is defined but has no column of its own in the swings table. */
export interface QuantityDefinition {
  readonly id: string;
  /** Where a measured swing has it and under which key, `_sd` beside it; null where a capture does not give it. */
  readonly measured: { readonly in: 'perInstant' | 'quantities'; readonly key: string } | null;
  /** Changes whenever the meaning or the equation does. */
  readonly version: string;
  readonly label: string;
  readonly unit: MetricUnit;
  readonly sign: string;
  readonly meaning: string;
  readonly equation: string;
  /** Landmarks that it needs. */
  readonly points: readonly string[];
  /** Other sets of landmarks, each used before `points` where a capture has it; the first the best. */
  readonly pointsBefore?: readonly (readonly string[])[];
  /** The instants at which it is read. */
  readonly instants: readonly InstantName[];
  readonly source: string;
  readonly sourceKnown: SourceKnown;
  readonly confusedWith: readonly string[];
  /** What gives a value of it, in words. */
  readonly givenBy: string;
  /** The columns of the swings table that it is read with, or into. */
  readonly relatedColumns: readonly MetricColumn[];
}

/** One way of finding an instant. */
export interface InstantWay {
  /** Its name, by which it is asked for and stated in a result. */
  readonly way: string;
  /** Changes whenever the meaning or the equation does. */
  readonly version: string;
  readonly meaning: string;
  readonly equation: string;
  readonly points: readonly string[];
  readonly source: string;
  readonly sourceKnown: SourceKnown;
}

/** An instant of the swing: the first of its definitions is used unless another is asked for. */
export interface InstantDefinition {
  readonly name: InstantName;
  readonly unit: 's';
  readonly sign: string;
  readonly meaning: string;
  readonly confusedWith: readonly string[];
  readonly definitions: readonly InstantWay[];
}

/** What must hold between two or three metrics, and what it means when it does not. */
export type MetricRelation = UsuallyAbove | NeverBelow | DifferenceOf | RatioOf;

/** A rule between columns: `higher` lies above `lower` in most rows; the reverse is a warning. */
export interface UsuallyAbove {
  readonly kind: 'usually-above';
  readonly higher: MetricColumn;
  readonly lower: MetricColumn;
  readonly reads: string;
  readonly why: string;
  readonly remedy: string;
}
/** A rule between columns: `higher` is never below `lower`. */
export interface NeverBelow {
  readonly kind: 'never-below';
  readonly higher: MetricColumn;
  readonly lower: MetricColumn;
  /** In the unit of the columns. */
  readonly tolerance: number;
  readonly why: string;
  readonly remedy: string;
}
/** A rule between columns: `result` is `minuend` less `subtrahend`. */
export interface DifferenceOf {
  readonly kind: 'difference';
  readonly result: MetricColumn;
  readonly minuend: MetricColumn;
  readonly subtrahend: MetricColumn;
  /** Largest median disagreement, in the unit of the columns. */
  readonly tolerance: number;
  readonly why: string;
  readonly remedy: string;
}
/**
 * A rule between columns: the median of their ratio lies in an expected range, and where it lies elsewhere tells what
 * was mixed up.
 */
export interface RatioOf {
  readonly kind: 'ratio';
  readonly numerator: MetricColumn;
  readonly denominator: MetricColumn;
  /** Rows whose denominator is smaller than this in size are left aside. */
  readonly denominatorAtLeast: number;
  readonly expected: readonly [number, number];
  readonly why: string;
  readonly bands: readonly {
    /** The median ratio lies in this closed range. */
    readonly between: readonly [number, number];
    readonly column: MetricColumn;
    readonly reads: string;
    readonly remedy: string;
  }[];
}
