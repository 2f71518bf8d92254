import type { Dataset, Plan } from '../../../dataset/index.ts';
import { type Covariate, covariateBySession } from '../../shared/covariates.ts';
import { rosterSessions, rosterSwings } from '../../shared/roster.ts';
import { chooseMetric } from '../../shared/study-metric.ts';
import type { StudyProblem } from '../../study.ts';
import type { Phase, TrialData } from './trial-data.ts';

export type ExtractOutcome =
  | { readonly ok: true; readonly data: TrialData }
  | { readonly ok: false; readonly problems: readonly StudyProblem[] };

/** The rows a trial needs, for the metric asked for, the plan's, or shaft lean at impact where it was measured. */
export function extractTrial(
  dataset: Dataset,
  asked: string | undefined,
  plan: Plan | null,
  covariates: readonly Covariate[] = [],
): ExtractOutcome {
  const chosen = chooseMetric(dataset, asked, plan);
  if (!chosen.ok) return chosen;
  const { golfers, assignments, practice } = dataset.tables;
  const adjusted = covariates.map((name) => [name, covariateBySession(dataset, name)] as const);
  const practised = {
    date: practice.column('date'),
    drill: practice.column('drill'),
    reps: practice.column('reps'),
  };
  const assigned = {
    trial: assignments.column('trial_id'),
    arm: assignments.column('arm'),
    on: assignments.column('assigned_on'),
  };
  return {
    ok: true,
    data: {
      metric: chosen.metric,
      golfers: golfers.column('golfer_id').map((golfer) => golfer ?? ''),
      sessions: rosterSessions(dataset).map((session) => ({
        ...session,
        phase: phaseUnder(plan, session.phase),
        ...(adjusted.length === 0
          ? {}
          : {
              covariates: Object.fromEntries(
                adjusted.map(([name, values]) => [name, values.get(session.session) ?? null]),
              ),
            }),
      })),
      swings: rosterSwings(dataset, chosen.metric.column),
      assignments: assignments.column('golfer_id').map((golfer, i) => ({
        golfer: golfer ?? '',
        trial: assigned.trial[i] ?? '',
        arm: assigned.arm[i] ?? '',
        assignedOn: assigned.on[i] ?? '',
      })),
      practice: practice.column('golfer_id').map((golfer, i) => ({
        golfer: golfer ?? '',
        date: practised.date[i] ?? '',
        drill: practised.drill[i] ?? null,
        reps: Number.isNaN(practised.reps[i]!) ? null : practised.reps[i]!,
      })),
    },
  };
}

/** The phase a session counts under: the plan may compare other phases than baseline, post and retention. */
function phaseUnder(plan: Plan | null, phase: Phase): Phase {
  if (plan?.phases === undefined) return phase;
  const { before, after, retention } = plan.phases;
  if (phase === before) return 'baseline';
  if (phase === after) return 'post';
  if (phase === retention) return 'retention';
  return retention === undefined && phase === 'retention' ? 'retention' : 'training';
}
