import type { Dataset } from '../../dataset/index.ts';
import type { DrillTrialTables } from '../drill-trial-tables.ts';
import type { Finding } from '../finding.ts';
import type { Study, StudyOptions, StudyOutcome, StudyProblem } from '../study.ts';
import { ask } from './analysis/ask.ts';
import { notAdjusted, unadjustable } from './input/adjustable.ts';
import { type DesignKind, recogniseDesign } from './input/design.ts';
import { extractTrial } from './input/extract.ts';
import { placeRows } from './input/rows.ts';
import { unanswerable } from './input/unanswerable.ts';
import { writeFinding } from './wording/write-finding.ts';

/**
 * Did the drill change it? Parallel groups with a control, a crossover, a stepped start, or one group before and
 * after, recognised from the assignments or stated by a plan. The answer is the difference after the drill in
 * golfers who started alike (a baseline-constrained mixed model with Kenward-Roger degrees of freedom), its interval
 * compared with the smallest change that matters; then whether it lasted and carried over, for whom, with how much
 * practice, who left, and what would be expected without any drill.
 *
 * The metric is the one asked for, else the plan's, else shaft_lean_impact_deg where it was measured. Data that
 * cannot be put to the question give problems in words; nothing is thrown for what is in the data.
 *
 * @example
 * // 2.2 deg were planted; 1 deg matters
 * const outcome = drillTrial(dataset, { metric: 'shaft_lean_impact_deg', change: 1 });
 * outcome.ok && outcome.finding.verdict // 'meaningful'
 */
export function drillTrial(dataset: Dataset, asked: StudyOptions = {}): StudyOutcome<DrillTrialTables> {
  const plan = asked.plan ?? null;
  const covariates = asked.covariates ?? plan?.model?.covariates ?? [];
  const options = covariates.length === 0 ? asked : { ...asked, covariates };
  const extracted = extractTrial(dataset, options.metric, plan, covariates, options.swingSums);
  if (!extracted.ok) return extracted;
  const { data } = extracted;
  const recognised = recogniseDesign(data.assignments, data.sessions, {
    kind: plan?.design === 'infer' ? undefined : (plan?.design satisfies DesignKind | undefined),
    trial: plan?.trial_id,
    control: plan?.arms?.control,
    drills: plan?.arms?.drill,
  });
  if (!recognised.ok) return refusal(recognised.problems);
  const { design } = recognised;
  const placed = placeRows(data, design);
  const problem = unanswerable(data, design, placed.rows);
  if (problem !== null) return refusal([problem]);
  const unfit = unadjustable(covariates, design, placed.rows);
  if (unfit.length > 0) return refusal(unfit);
  const answers = ask(data, design, placed.rows, plan, covariates);
  const thin = notAdjusted(covariates, answers.main);
  if (thin !== null) return refusal([thin]);
  const finding: Finding<DrillTrialTables> = writeFinding({
    dataset,
    options,
    extracted,
    design,
    placed,
    answers,
  });
  return { ok: true, finding };
}

function refusal(problems: readonly StudyProblem[]): StudyOutcome<never> {
  return { ok: false, problems };
}

/** The study as the registry lists it. */
export const drillTrialStudy: Study<DrillTrialTables> = {
  name: 'drill-trial',
  question: 'Did the drill change it?',
  summary:
    'Compares a number before and after a drill, between golfers who did it and golfers who did not. Needs assignments.csv, and swings at baseline and after.',
  covariates: ['handicap_index', 'height_cm', 'age_band', 'instructor_id', 'device', 'surface'],
  takesSums: true,
  run: drillTrial,
};
