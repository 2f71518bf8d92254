/** What the page of a reproduced angle is drawn from; degrees unless said. */

/** One published angle of one row beside what was worked out. */
export interface AngleDifference {
  readonly row: number;
  readonly angle: string;
  readonly published: number;
  readonly worked: number;
  /** Worked out minus published, the short way round. */
  readonly difference: number;
  /** SD of the angle from marker noise; null where no noise was given. */
  readonly noiseSd: number | null;
  /** Whether the published digits are those of the angle worked out, rounded as published. */
  readonly everyDigit: boolean;
}

/** One step on the way from points to angle, its value in words. */
export interface AngleStepRow {
  readonly heading: string;
  readonly symbol: string;
  readonly name: string;
  readonly equation: string;
  readonly numbers: string;
  readonly value: string;
  readonly unit: string;
  readonly source: string;
}

/**
 * What one coordinate of one marker adds to the error of an angle: deg of angle for each mm, the SD in deg, and its
 * share of the variance.
 */
export interface AngleBudgetRow {
  readonly angle: string;
  readonly marker: string;
  readonly axis: string;
  readonly degreesPerMm: number;
  readonly sd: number;
  readonly share: number;
}

/** How another definition of the angle differs from the one that answers, deg. */
export interface AngleDefinitionRow {
  readonly definition: string;
  readonly equation: string;
  readonly meanDifference: number;
  readonly sdDifference: number;
  readonly largestDifference: number;
  readonly inRow: number;
  readonly why: string;
}

/** What the page of an angle is drawn from. */
export interface AngleTables {
  readonly definition: string;
  /** The row that is worked through step by step. */
  readonly row: number;
  readonly differences: readonly AngleDifference[];
  readonly steps: readonly AngleStepRow[];
  readonly sources: Readonly<Record<string, string>>;
  readonly budget: {
    readonly noise_mm: number;
    readonly assumed: boolean;
    readonly entries: readonly AngleBudgetRow[];
  } | null;
  readonly definitions: readonly AngleDefinitionRow[];
  /** Every row under each definition: `row`, and one column for each; null where the points give no angle. */
  readonly series: readonly Readonly<Record<string, number | null>>[];
}
