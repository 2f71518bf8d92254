import type { LeftOut } from '../../finding.ts';
import type { Excluded } from '../../shared/exclusions.ts';
import { groupLeftOut } from '../../shared/left-out.ts';
import type { GolferSeries } from '../input/series.ts';
import type { OneGolferData } from '../one-golfer-data.ts';

/** Every row that did not enter the change, by reason; with the swings used it accounts for all. */
export function leftOut(excluded: Excluded<OneGolferData>, series: readonly GolferSeries[]): LeftOut[] {
  const { data } = excluded;
  const asked = new Set(series.map(({ golfer }) => golfer));
  const used = new Set(series.flatMap(({ compared }) => compared.map(({ session }) => session)));
  const kept = new Set(series.flatMap(({ retention }) => retention.map(({ session }) => session)));
  const golferOf = new Map(data.sessions.map(({ session, golfer }) => [session, golfer]));
  const why = (session: string, task: string, value: number | null): string | null => {
    if (!asked.has(golferOf.get(session) ?? ''))
      return 'of a golfer who was not asked about: at most for how noisy a session is';
    if (task !== 'full')
      return task === 'drill' ? 'a swing at drill speed, not a full one' : `a ${task} swing, not a full one`;
    if (value === null) return `${data.metric.label} is missing (empty cell)`;
    if (kept.has(session)) return 'made at retention: used only for what was kept';
    return used.has(session) ? null : 'made in a phase that the plan does not compare';
  };
  const swings = data.swings.flatMap(({ swing, session, task, value }) => {
    const reason = why(session, task, value);
    return reason === null ? [] : [{ id: swing, why: reason }];
  });
  const withValue = new Set([...used, ...kept]);
  const empty = data.sessions
    .filter(({ session, golfer }) => asked.has(golfer) && !withValue.has(session))
    .map(({ session }) => ({
      id: session,
      why: 'without a full swing that has a value, or in a phase that is not compared',
    }));
  return [
    ...groupLeftOut('golfers', excluded.golfers),
    ...groupLeftOut('sessions', [...excluded.sessions, ...empty]),
    ...groupLeftOut('swings', [...excluded.swings, ...swings]),
  ];
}
