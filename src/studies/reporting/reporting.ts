/** What a report of such a study should state, item by item, and whether this one does. */

export type Guideline = 'CONSORT' | 'STROBE' | 'SCRIBE' | 'TIDieR';

/** One thing that a guideline asks for. */
export interface ReportingItem {
  readonly guideline: Guideline;
  /** A short fixed word, unique in its guideline. */
  readonly key: string;
  /** What a reader should find, in our words. */
  readonly asks: string;
  readonly state: 'stated' | 'partly' | 'missing';
  /** What is stated and where it comes from; where something is missing, what to write and where. */
  readonly words: string;
}

/** What published guidelines ask of a report, and what of it is stated. */
export interface ReportingChecklist {
  readonly guidelines: readonly Guideline[];
  readonly items: readonly ReportingItem[];
  readonly stated: number;
  readonly partly: number;
  readonly missing: number;
  readonly words: string;
}
