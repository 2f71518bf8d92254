import type { Dataset, InputFile, Plan, PlanLock } from '../dataset/index.ts';
import type { Finding } from './finding.ts';
import type { Covariate } from './shared/covariates.ts';

/** Why the data cannot even be put to the question, and what to do about it. */
export interface StudyProblem {
  readonly where: string;
  readonly found: string;
  readonly expected: string;
  readonly remedy: string;
}

export type StudyOutcome<Tables = unknown> =
  | { readonly ok: true; readonly finding: Finding<Tables> }
  | { readonly ok: false; readonly problems: readonly StudyProblem[] };

export interface StudyOptions {
  /** The metric column that answers; the plan's when absent. */
  readonly metric?: string;
  readonly plan?: Plan;
  /** What the plan's lock says, where it was locked. */
  readonly lock?: PlanLock;
  /** The file the plan was read from, for the provenance. */
  readonly planFile?: InputFile;
  /** What the answer is adjusted for, beyond what the study's model holds; only what `Study.covariates` lists. */
  readonly covariates?: readonly Covariate[];
  /** Kept in the provenance; a study that draws nothing at random does not depend on it. */
  readonly seed?: number;
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
  readonly run: (dataset: Dataset, options?: StudyOptions) => StudyOutcome<Tables>;
}
