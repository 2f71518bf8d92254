import type { Fit } from '../../../stats/index.ts';
import type { Design } from '../input/design.ts';
import type { SwingGroup } from '../input/trial-data.ts';
import type { SmallSample } from './cell-model.ts';
import type { Effect, OwnChange } from './effect.ts';
import { analyseCrossover } from './main-crossover.ts';
import { analyseGroups } from './main-groups.ts';
import { analyseStepped } from './main-stepped.ts';

/** How the analysis was done: `swings` is the intended model, the others are what remains when data are thin. */
export type AnalysisForm = 'swings' | 'golfer-means' | 'bare' | 'none';

/** The answer to the main question by one model, whatever the design. */
export interface MainAnalysis {
  readonly form: AnalysisForm;
  /** The model in plain words. */
  readonly words: string;
  /** The model as an object, where one was fitted. */
  readonly objects: readonly unknown[];
  /** By arm under test. */
  readonly effects: ReadonlyMap<string, Effect>;
  /** The swings that went in, by session. */
  readonly used: ReadonlySet<SwingGroup>;
  /** Why the other swings of the compared phases did not. */
  readonly unusedWhy: string;
  /** Why a fuller model was not used, and what the fit itself says, in words. */
  readonly notes: readonly string[];
  readonly boundary: readonly string[];
  /** A test of any difference among several arms, where one was made. */
  readonly anyDifference: string | null;
  /** Whether what single days did was told apart from golfers' own changes: it takes several visits in a phase. */
  readonly daysApart: boolean;
  /** A golfer's own change, shrunken by how noisy his or her data are; null where noise cannot be separated. */
  readonly golferChange: (golfer: string) => OwnChange | null;
  /** The fit behind the answer, where a model of swings was fitted. */
  readonly fit: Fit | null;
}

export interface MainRequest {
  readonly design: Design;
  readonly outcome: string;
  readonly level: number;
  readonly degreesOfFreedom: SmallSample;
  /** Names of what the answer is adjusted for; every row has a value of each. */
  readonly covariates?: readonly string[];
  /** A fit of nearly the same swings, near which the search for the variances begins. */
  readonly near?: Fit | null;
}

/** The rows that the comparison is made of: full swings in the phases that the design compares. */
export function comparedRows(rows: readonly SwingGroup[], design: Design): SwingGroup[] {
  return rows.filter(
    (row) =>
      row.task === 'full' &&
      (row.phase === 'post' || (row.phase === 'baseline' && design.kind !== 'crossover')),
  );
}

/** The main comparison, by the model that the design calls for. */
export function analyseMain(rows: readonly SwingGroup[], request: MainRequest): MainAnalysis {
  const own = comparedRows(rows, request.design);
  if (request.design.kind === 'crossover') return analyseCrossover(own, request);
  if (request.design.kind === 'stepped-start') return analyseStepped(own, request);
  return analyseGroups(own, request);
}
