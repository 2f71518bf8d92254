import type { SwingSums } from '../../../dataset/index.ts';
import type { Task } from '../../shared/roster.ts';
import type { ExcludedSwings } from './swing-groups.ts';
import type { SessionSwings } from './trial-data.ts';

/** The swings of each session and task from their sums. */
export function groupsOfSums({ groups }: SwingSums): SessionSwings[] {
  const { session, task, missing, count, mean, squares, least, most } = groups;
  return session.map((id, g) => ({
    session: id ?? '',
    task: task[g] as Task,
    measured:
      count[g] === 0
        ? null
        : {
            count: count[g]!,
            mean: mean[g]!,
            // A variance of equal values may come out as less than zero by rounding.
            squares: least[g] === most[g] ? 0 : Math.max(0, squares[g]!),
            least: least[g]!,
            most: most[g]!,
            each: null,
          },
    missing: { count: missing[g]!, ids: null },
  }));
}

/** The groups that stay, and the others by the reason why their session does not count. */
export function withoutSessions(
  groups: readonly SessionSwings[],
  whySession: (session: string) => string | undefined,
): { readonly swings: readonly SessionSwings[]; readonly excluded: readonly ExcludedSwings[] } {
  const swings: SessionSwings[] = [];
  const excluded: ExcludedSwings[] = [];
  for (const group of groups) {
    const why = whySession(group.session);
    if (why === undefined) swings.push(group);
    else excluded.push({ count: (group.measured?.count ?? 0) + group.missing.count, ids: null, why });
  }
  return { swings, excluded };
}
