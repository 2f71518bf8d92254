import type { Finding } from '../studies/index.ts';
import type { Figure, FigureTable } from './figure.ts';

/** What a study adds to the page and to the folder of its report. Every part may be empty. */
export interface StudyPage {
  /** How the study is named over the question, such as `Drill trial`. */
  readonly words: string;
  /**
   * HTML of the study's figures (`figureHtml`) and tables in three places: above the list of estimates, below it,
   * and after what was left out. What is written here must be escaped already.
   */
  readonly beforeEstimates: string;
  readonly afterEstimates: string;
  readonly afterLeftOut: string;
  /** Every figure of the page, in order: drawn with the page's script, and written as SVG by its id. */
  readonly figures: readonly Figure[];
  /** Every table behind the figures, by file name without ending: written as CSV. */
  readonly tables: Readonly<Record<string, FigureTable>>;
}

/** Makes a study's part of the page; a finding without the tables it needs gives empty parts and no error. */
export type StudyPageMaker = (finding: Finding) => StudyPage;

export const emptyStudyPage = (words: string): StudyPage => ({
  words,
  beforeEstimates: '',
  afterEstimates: '',
  afterLeftOut: '',
  figures: [],
  tables: {},
});
