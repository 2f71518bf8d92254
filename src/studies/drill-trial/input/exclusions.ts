import type { Plan } from '../../../dataset/index.ts';
import type { StudyProblem } from '../../study.ts';
import type { TrialData } from './trial-data.ts';

export interface Excluded {
  readonly data: TrialData;
  readonly swings: readonly { readonly id: string; readonly why: string }[];
  readonly sessions: readonly { readonly id: string; readonly why: string }[];
  readonly golfers: readonly { readonly id: string; readonly why: string }[];
  readonly problems: readonly StudyProblem[];
}

/** Takes out what the plan excludes, with the plan's reason; an id that is not there is a problem. */
export function applyExclusions(data: TrialData, plan: Plan | null): Excluded {
  const reasons = {
    golfers: new Map<string, string>(),
    sessions: new Map<string, string>(),
    swings: new Map<string, string>(),
  };
  const known = {
    golfers: new Set(data.golfers),
    sessions: new Set(data.sessions.map((row) => row.session)),
    swings: new Set(data.swings.map((row) => row.swing)),
  };
  const problems: StudyProblem[] = [];
  for (const { table, id, reason } of plan?.exclusions ?? []) {
    if (known[table].has(id)) reasons[table].set(id, reason);
    else
      problems.push({
        where: 'the plan, /exclusions',
        found: `'${id}' in ${table}`,
        expected: `an id that is in ${table}.csv`,
        remedy: 'Correct the id, or take the exclusion out of the plan.',
      });
  }
  const sessionOf = new Map(data.sessions.map((row) => [row.session, row]));
  const whySession = (session: string) =>
    reasons.sessions.get(session) ?? reasons.golfers.get(sessionOf.get(session)?.golfer ?? '');
  const whySwing = (swing: string, session: string) => reasons.swings.get(swing) ?? whySession(session);
  const listed = (entries: ReadonlyMap<string, string>) =>
    [...entries].map(([id, reason]) => ({ id, why: `excluded by the plan: ${reason}` }));
  return {
    data: {
      ...data,
      sessions: data.sessions.filter((row) => whySession(row.session) === undefined),
      swings: data.swings.filter((row) => whySwing(row.swing, row.session) === undefined),
      assignments: data.assignments.filter((row) => !reasons.golfers.has(row.golfer)),
    },
    golfers: listed(reasons.golfers),
    sessions: listed(reasons.sessions),
    swings: data.swings.flatMap((row) => {
      const why = whySwing(row.swing, row.session);
      return why === undefined ? [] : [{ id: row.swing, why: `excluded by the plan: ${why}` }];
    }),
    problems,
  };
}
