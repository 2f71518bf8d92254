import type {
  CellsWanted,
  CurveSet,
  Dataset,
  InputFile,
  Plan,
  PlanLock,
  SwingCells,
  SwingFacts,
  SwingSums,
} from '../dataset/index.ts';
import type { Finding } from './finding.ts';
import type { Covariate } from './shared/covariates.ts';
import type { SpecificationCurve } from './specification/specification.ts';
import type { TimeAxis } from './waveform/input/axis.ts';
import type { ComparisonKind } from './waveform/input/comparison.ts';

/** Why the data cannot even be put to the question, and what to do about it. */
export interface StudyProblem {
  readonly where: string;
  readonly found: string;
  readonly expected: string;
  readonly remedy: string;
}

/** A Finding, or every reason why there is none. */
export type StudyOutcome<Tables = unknown> =
  | { readonly ok: true; readonly finding: Finding<Tables> }
  | { readonly ok: false; readonly problems: readonly StudyProblem[] };

/** What can be said with a question. A study refuses an option that is not its own. */
export interface StudyOptions {
  /** The metric column that answers; the plan's when absent. */
  readonly metric?: string;
  /** Mechanism: the column that says how early the elbow straightens, and the one that says how late the club is let go. */
  readonly predictor?: string;
  readonly mediator?: string;
  readonly plan?: Plan;
  /** What the plan's lock says, where it was locked. */
  readonly lock?: PlanLock;
  /** The file the plan was read from, for the provenance. */
  readonly planFile?: InputFile;
  /** Whom the question is about, for a study that asks about one golfer or a few; the plan's when absent. */
  readonly golfers?: readonly string[];
  /** What the answer is adjusted for, beyond what the study's model holds; only what `Study.covariates` lists. */
  readonly covariates?: readonly Covariate[];
  /** Of `noise`: another metric column of the same unit, to be compared on the same swings. */
  readonly against?: string;
  /** Of `noise`: the change that is to be seen, in the unit of the metric; takes the place of the plan's. */
  readonly change?: number;
  /** Of waveform: the curves beside the tables, see `loadCurves`. */
  readonly curves?: CurveSet | null;
  /** Of waveform: what is compared; what the data can answer best when absent. */
  readonly compare?: ComparisonKind;
  /** Of waveform: a number of the golfer to compare curves by, a column of golfers.csv or a metric. */
  readonly by?: string;
  /** Of waveform: how time is laid out; registered at instants when absent and there are any, else in per cent. */
  readonly timeAxis?: TimeAxis;
  /** Kept in the provenance; a study that draws nothing at random does not depend on it. */
  readonly seed?: number;
  /** The swings by sums, for a dataset whose swings are not held (`loadSummed`); for a study that `takesSums`. */
  readonly swingSums?: SwingSums;
  /** The same for a study that takes the sums of several columns (`Study.cells`, `loadSummedCells`). */
  readonly swingCells?: SwingCells;
}

/** One question that can be put to a dataset. */
export interface Study<Tables = unknown> {
  readonly name: string;
  /** The question in general, for a list of studies. */
  readonly question: string;
  /** What it does and needs, in one or two sentences. */
  readonly summary: string;
  /** What its answer can be adjusted for on request; nothing where absent. */
  readonly covariates?: readonly Covariate[];
  /** Where its metric is: a column of swings.csv, or a quantity of curves.csv. The swings where absent. */
  readonly answersIn?: 'swings' | 'curves';
  /** The question under every combination of the study's own choices, where the standard ones would not do. */
  readonly everyChoice?: (dataset: Dataset, options: StudyOptions, main: Finding) => SpecificationCurve;
  /** Whether sums over sessions can stand for the swings, so that it can be asked of any number of them. */
  readonly takesSums?: true;
  /** Which sums it takes, where they are of more than its metric: from what there is, the sets of columns. */
  readonly cells?: {
    readonly levelsOf: readonly string[];
    readonly wanted: (facts: SwingFacts, options: StudyOptions) => readonly CellsWanted[];
  };
  readonly run: (dataset: Dataset, options?: StudyOptions) => StudyOutcome<Tables>;
}
