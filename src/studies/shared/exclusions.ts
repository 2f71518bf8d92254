import type { Dataset, Plan } from '../../dataset/index.ts';
import type { StudyProblem } from '../study.ts';
import { excludedByRules } from './exclusion-rules.ts';

/** What exclusions act on: who there is, and sessions and swings by id. */
export interface Excludable {
  readonly golfers: readonly string[];
  readonly sessions: readonly { readonly session: string; readonly golfer: string }[];
  readonly swings: readonly { readonly swing: string; readonly session: string }[];
}

/** A row that is excluded, and why. */
export interface Listed {
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

/** What the plan excludes, before anything is taken out. */
export interface PlannedExclusions {
  readonly golfers: readonly Listed[];
  readonly sessions: readonly Listed[];
  /** Why a session does not count, itself or by its golfer; undefined where it does. */
  readonly whySession: (session: string) => string | undefined;
  /** Why a swing does not count, itself or by its session; null where no swing is excluded. */
  readonly whySwing: ((swing: string, session: string) => string | undefined) | null;
  readonly problems: readonly StudyProblem[];
}

/**
 * What the plan excludes, by id or by rule, with the plan's reason; an id that is not there is a problem.
 *
 * @param hasSwing whether there is a swing of this id
 */
export function plannedExclusions(
  data: Pick<Excludable, 'golfers' | 'sessions'>,
  hasSwing: (id: string) => boolean,
  plan: Plan | null,
  dataset: Dataset,
): PlannedExclusions {
  const reasons = {
    golfers: new Map<string, string>(),
    sessions: new Map<string, string>(),
    swings: new Map<string, string>(),
  };
  const golfers = new Set(data.golfers);
  const sessionOf = new Map(data.sessions.map((row) => [row.session, row]));
  const known = {
    golfers: (id: string) => golfers.has(id),
    sessions: (id: string) => sessionOf.has(id),
    swings: hasSwing,
  };
  for (const { table, id, reason } of excludedByRules(dataset, plan)) reasons[table].set(id, reason);
  const problems: StudyProblem[] = [];
  for (const { table, id, reason } of plan?.exclusions ?? []) {
    if (known[table](id)) reasons[table].set(id, reason);
    else
      problems.push({
        where: 'the plan, /exclusions',
        found: `'${id}' in ${table}`,
        expected: `an id that is in ${table}.csv`,
        remedy: 'Correct the id, or take the exclusion out of the plan.',
      });
  }
  const stated = (reason: string | undefined) =>
    reason === undefined ? undefined : `excluded by the plan: ${reason}`;
  const whySession = (session: string) =>
    stated(reasons.sessions.get(session) ?? reasons.golfers.get(sessionOf.get(session)?.golfer ?? ''));
  const listed = (entries: ReadonlyMap<string, string>) =>
    [...entries].map(([id, reason]) => ({ id, why: stated(reason)! }));
  const none = Object.values(reasons).every(({ size }) => size === 0);
  return {
    golfers: listed(reasons.golfers),
    sessions: listed(reasons.sessions),
    whySession,
    whySwing: none ? null : (swing, session) => stated(reasons.swings.get(swing)) ?? whySession(session),
    problems,
  };
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
  const ids = new Set(plan?.exclusions?.length ? data.swings.map((row) => row.swing) : []);
  const { golfers, sessions, whySession, whySwing, problems } = plannedExclusions(
    data,
    (id) => ids.has(id),
    plan,
    dataset,
  );
  if (whySwing === null) return { data, golfers, sessions, swings: [], problems };
  return {
    data: {
      ...data,
      sessions: data.sessions.filter((row) => whySession(row.session) === undefined),
      swings: data.swings.filter((row) => whySwing(row.swing, row.session) === undefined),
    },
    golfers,
    sessions,
    swings: data.swings.flatMap((row) => {
      const why = whySwing(row.swing, row.session);
      return why === undefined ? [] : [{ id: row.swing, why }];
    }),
    problems,
  };
}
