import type { Dataset, Plan, SwingSums } from '../../../dataset/index.ts';
import { type Covariate, covariateBySession } from '../../shared/covariates.ts';
import { type Listed, plannedExclusions } from '../../shared/exclusions.ts';
import { needsSwings } from '../../shared/needs-swings.ts';
import { rosterSessions } from '../../shared/roster.ts';
import { chooseMetric } from '../../shared/study-metric.ts';
import type { StudyProblem } from '../../study.ts';
import { groupsOfSums, withoutSessions } from './summed-groups.ts';
import { type ExcludedSwings, groupSwings } from './swing-groups.ts';
import type { Phase, TrialData } from './trial-data.ts';

/** What the trial needs, and what the plan takes out of it. The golfers stay listed, so that who is not in it can be named. */
export interface TrialExtract {
  readonly data: TrialData;
  readonly golfers: readonly Listed[];
  readonly sessions: readonly Listed[];
  readonly swings: readonly ExcludedSwings[];
}

export type ExtractOutcome =
  | ({ readonly ok: true } & TrialExtract)
  | { readonly ok: false; readonly problems: readonly StudyProblem[] };

/** What a trial needs, for the metric asked for, the plan's, or shaft lean at impact where it was measured, less what the plan excludes. */
export function extractTrial(
  dataset: Dataset,
  asked: string | undefined,
  plan: Plan | null,
  covariates: readonly Covariate[] = [],
  sums?: SwingSums,
): ExtractOutcome {
  const summed = sums === undefined ? undefined : groupsOfSums(sums);
  const chosen = chooseMetric(
    dataset,
    asked,
    plan,
    summed?.some(({ measured }) => measured !== null) ? [sums!.column] : summed && [],
  );
  if (!chosen.ok) return chosen;
  const unfit = sums === undefined ? [] : needsSwings(plan);
  if (unfit.length > 0) return { ok: false, problems: unfit };
  const { golfers, assignments, practice, swings } = dataset.tables;
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
  const everyone = golfers.column('golfer_id').map((golfer) => golfer ?? '');
  const sessions = rosterSessions(dataset);
  const ids = new Set(
    plan?.exclusions?.some(({ table }) => table === 'swings') ? swings.text('swing_id') : [],
  );
  const out = plannedExclusions({ golfers: everyone, sessions }, (id) => ids.has(id), plan, dataset);
  if (out.problems.length > 0) return { ok: false, problems: out.problems };
  const away = new Set(out.golfers.map(({ id }) => id));
  const grouped =
    summed === undefined
      ? groupSwings(dataset, chosen.metric.column, out.whySwing)
      : withoutSessions(summed, out.whySession);
  return {
    ok: true,
    golfers: out.golfers,
    sessions: out.sessions,
    swings: grouped.excluded,
    data: {
      metric: chosen.metric,
      golfers: everyone,
      sessions: sessions
        .filter(({ session }) => out.whySession(session) === undefined)
        .map((session) => ({
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
      swings: grouped.swings,
      assignments: assignments
        .column('golfer_id')
        .map((golfer, i) => ({
          golfer: golfer ?? '',
          trial: assigned.trial[i] ?? '',
          arm: assigned.arm[i] ?? '',
          assignedOn: assigned.on[i] ?? '',
        }))
        .filter(({ golfer }) => !away.has(golfer)),
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
