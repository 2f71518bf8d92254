import type { Dataset, Plan } from '../../dataset/index.ts';
import type { StudyProblem } from '../study.ts';
import { excludedByRules } from './exclusion-rules.ts';

/** What exclusions act on: who there is, and sessions and swings by id. */
export interface Excludable {
  readonly golfers: readonly string[];
  readonly sessions: readonly { readonly session: string; readonly golfer: string }[];
  readonly swings: readonly { readonly swing: string; readonly session: string }[];
}

interface Listed {
  readonly id: string;
  readonly why: string;
}

export interface Excluded<Data extends Excludable> {
  readonly data: Data;
  readonly swings: readonly Listed[];
  readonly sessions: readonly Listed[];
  readonly golfers: readonly Listed[];
  readonly problems: readonly StudyProblem[];
}

/**
 * Takes out what the plan excludes, by id or by rule, with the plan's reason; an id that is not there is a problem.
 * The golfers themselves stay listed, so that a study can still name who is not in it.
 */
export function applyExclusions<Data extends Excludable>(
  data: Data,
  plan: Plan | null,
  dataset: Dataset,
): Excluded<Data> {
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
  for (const { table, id, reason } of excludedByRules(dataset, plan)) reasons[table].set(id, reason);
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
