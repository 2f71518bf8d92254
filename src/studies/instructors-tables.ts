/** What the page on instructors is drawn from. All values are in the metric's unit unless the name says otherwise. */

export interface InstructorRow {
  readonly instructor: string;
  readonly pupils: number;
  /** Mean of the pupils after, less what their start and case mix let expect, before shrinking. */
  readonly raw: number;
  /** Best guess of the instructor's own difference from the mean instructor, shrunken by how few pupils there are. */
  readonly effect: number;
  readonly interval: readonly [number, number];
  /** How far differences between such means are differences between instructors, 0 to 1. */
  readonly reliability: number;
  /** Only where a ranking means something. */
  readonly rank: number | null;
  readonly rankInterval: readonly [number, number] | null;
  readonly chanceTopThird: number | null;
}

/** Two instructors and whether the data tell them apart. */
export interface InstructorPair {
  readonly first: string;
  readonly second: string;
  /** How probable it is that the first is ahead of the second. */
  readonly chance: number;
  readonly apart: boolean;
}

/** How reliable the estimate of an instructor with so many pupils is, 0 to 1. */
export interface ReliabilityRow {
  readonly pupils: number;
  readonly reliability: number;
  readonly interval: readonly [number, number];
}

/** What the page on instructors is drawn from. */
export interface InstructorsTables {
  /** In order of rank where ranks mean something, else in order of name. */
  readonly instructors: readonly InstructorRow[];
  readonly ranked: boolean;
  /** Why there is no ranking, where there is none. */
  readonly noRanking: string | null;
  readonly pairs: readonly InstructorPair[];
  /** Instructors with fewer pupils than may be shown; they are in the model and not named. */
  readonly hidden: number;
  readonly hiddenPupils: number;
  readonly reliability: readonly ReliabilityRow[];
  /** SD of pupils of one instructor around what is expected, for the limits of the funnel. */
  readonly withinSd: number | null;
}
