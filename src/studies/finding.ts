import type { ReportingChecklist } from './reporting/reporting.ts';
import type { SpecificationCurve } from './specification/specification.ts';

/** A Finding: the whole answer of a study, as plain data. The same inputs give the same bytes. */

export type Verdict = 'meaningful' | 'too-small-to-matter' | 'opposite' | 'cannot-tell';

/** One number of an answer with its interval, in the unit it states; null where the data give none. */
export interface FindingEstimate {
  /** A short fixed word by which a page finds the estimate, such as `retention`; unique unless arms repeat it. */
  readonly key?: string;
  /** A name in words, such as `drill effect at post, full swings`. */
  readonly name: string;
  readonly value: number | null;
  readonly interval: readonly [number | null, number | null];
  readonly level: number;
  readonly unit: string;
  readonly degreesOfFreedom: number | null;
  /** What the number means, in one plain sentence. */
  readonly meaning: string;
  /** A spread or another size without a direction, which is shown without a sign. */
  readonly unsigned?: true;
}

/** What was left out of an answer, and why. */
export interface LeftOut {
  /** The table, and the ids (at most all of them; never cut). */
  readonly table: string;
  readonly ids: readonly string[];
  readonly count: number;
  readonly why: string;
}

/** One check of the method or the data, with what came of it. */
export interface Check {
  readonly name: string;
  readonly outcome: 'good' | 'look' | 'bad' | 'not-possible';
  readonly words: string;
}

/** The same question asked another way, and whether the answer stays. */
export interface Sensitivity {
  readonly name: string;
  readonly what: string;
  readonly estimate: FindingEstimate | null;
  readonly verdict: Verdict;
  readonly words: string;
}

/** The smallest change that matters, without a sign, and where that size comes from. */
export interface SmallestChange {
  readonly value: number;
  readonly unit: string;
  /** `asked`: given with the question. */
  readonly from: 'plan' | 'default' | 'asked';
  readonly why: string;
  /** Which way is better: +1 more, -1 less, 0 neither is better in itself. */
  readonly goodDirection: 1 | -1 | 0;
}

/** One part of the answer set against the plan. */
export interface PlannedPart {
  readonly part: string;
  readonly state: 'as-planned' | 'changed' | 'exploratory';
  readonly words: string;
}

/** What was known when the plan was locked; `not-known` for a plan that was not locked. */
export type PlannedTiming =
  | 'no-plan'
  | 'not-known'
  | 'before-the-data'
  | 'after-the-first-phase'
  | 'after-the-data';

/** Whether an answer is what a plan, written beforehand, asked for. */
export interface Planned {
  /** Whether a plan states this question and this number. */
  readonly planned: boolean;
  readonly timing?: PlannedTiming;
  readonly words: string;
  /** Each part of the answer against the plan, in order. */
  readonly parts?: readonly PlannedPart[];
}

/** What an answer was made from: version, files with their SHA-256, definitions and seed. */
export interface Provenance {
  readonly package: string;
  readonly version: string;
  /** POSIX path relative to the dataset folder, in order of path. */
  readonly inputs: readonly { readonly file: string; readonly sha256: string }[];
  readonly definitions: readonly { readonly metric: string; readonly version: string }[];
  readonly seed: number | null;
  /** The words that ask this again, in place of study, data, metric and plan, where these do not say all. */
  readonly command?: readonly string[];
  /** The newest date in the data (YYYY-MM-DD): a date without a time zone, so the bytes do not depend on the day. */
  readonly date: string;
}

/** The answer to one question: the one object from which command line, page and notebook tell it. */
export interface Finding<Tables = unknown> {
  readonly study: string;
  readonly question: string;
  readonly answer: string;
  readonly verdict: Verdict;
  /** The first one answers the question. */
  readonly estimates: readonly FindingEstimate[];
  readonly smallestChange: SmallestChange | null;
  readonly metric: {
    readonly column: string;
    readonly label: string;
    readonly unit: string;
    readonly meaning: string;
  };
  readonly design: {
    readonly kind: string;
    readonly words: string;
    readonly golfers: number;
    readonly sessions: number;
    readonly swings: number;
    readonly arms: readonly {
      readonly arm: string;
      readonly role: 'drill' | 'control';
      readonly golfers: number;
      readonly sessions: number;
      readonly swings: number;
    }[];
  };
  readonly leftOut: readonly LeftOut[];
  readonly model: { readonly words: string; readonly objects: readonly unknown[] };
  readonly checks: readonly Check[];
  readonly sensitivity: readonly Sensitivity[];
  readonly cautions: readonly string[];
  readonly planned: Planned;
  readonly provenance: Provenance;
  /** What the figures and tables of the page are drawn from; its shape belongs to the study. */
  readonly tables: Tables;
  /** Warnings about the data or the method that a reader must see, in words. */
  readonly warnings: readonly string[];
  /** The same question under every combination of stated choices, where that was asked for. */
  readonly specifications?: SpecificationCurve;
  /** What a report of this should state and whether it does, where the checklist was filled. */
  readonly reporting?: ReportingChecklist;
  /** What to do next, in words, the most useful first. */
  readonly next?: readonly string[];
}
