import type { Finding, StudyOutcome } from '../studies/index.ts';
import { notebook } from './context.ts';

/**
 * The Finding of a study. Where the data cannot be put to the question, shows every reason and what to do.
 *
 * @throws Error in words for the reader of the notebook where there is no Finding
 * @example answered(drillTrial(dataset, { plan })).study // 'drill-trial'
 */
export function answered<Tables>(outcome: StudyOutcome<Tables>): Finding<Tables> {
  if (outcome.ok) return outcome.finding;
  notebook.show(outcome.problems);
  throw new Error('the data cannot be put to this question; the table says why, and what to do.');
}
