import type { Dataset } from '../../dataset.ts';

/** Every golfer's first visit is on this day, so that no date of an export is a date of the calendar. */
export const FIRST_DAY = '2000-01-03';

/** How fine the time between visits stays: to the week, to four weeks, or only their order. */
export const VISIT_LEVELS = ['weeks', 'four weeks', 'order'] as const;
const DAYS = [7, 28] as const;
const DAY_MS = 86_400_000;
const BEFORE_FIRST = '1999-12-06';

/** The days of a golfer's visits, in order and each once. */
export type VisitDays = ReadonlyMap<string, readonly string[]>;

export function visitDays({ tables }: Dataset): VisitDays {
  const [golfers, dates] = [tables.sessions.column('golfer_id'), tables.sessions.column('date')];
  const days = new Map<string, Set<string>>();
  golfers.forEach((golfer, row) => {
    const date = dates[row];
    if (golfer === null || date == null) return;
    days.set(golfer, (days.get(golfer) ?? new Set()).add(date));
  });
  return new Map([...days].map(([golfer, own]) => [golfer, [...own].sort()]));
}

/** A date on the golfer's own calendar, which begins at {@link FIRST_DAY} with the first visit. */
export function coarseDate(date: string, visits: readonly string[], level: number): string {
  const first = visits[0];
  if (first === undefined) return FIRST_DAY;
  const step = DAYS[level];
  const days =
    step === undefined
      ? 28 * (visits.filter((visit) => visit <= date).length - 1)
      : Math.floor((Date.parse(date) - Date.parse(first)) / DAY_MS / step) * step;
  return new Date(Date.parse(FIRST_DAY) + days * DAY_MS).toISOString().slice(0, 10);
}

/**
 * The coarse date of a bout of practice: that of the visit before it, since the days on which somebody practised are a pattern of
 * their own; four weeks before the first visit where it was before that.
 */
export function practiceDate(date: string, visits: readonly string[], level: number): string {
  const before = visits.filter((visit) => visit <= date).at(-1);
  if (before !== undefined) return coarseDate(before, visits, level);
  return visits.length === 0 ? FIRST_DAY : BEFORE_FIRST;
}

/**
 * Phases and coarse dates of all visits of each golfer, and the day of the arm: who has the same cannot be told apart by them. The arm's day belongs to it, since it is one day of the calendar for many: on the
 * golfer's own calendar it tells when the first visit was.
 */
export function visitPatterns(dataset: Dataset, days: VisitDays, level: number): ReadonlyMap<string, string> {
  const { sessions, assignments } = dataset.tables;
  const [golfers, dates, phases] = [
    sessions.column('golfer_id'),
    sessions.column('date'),
    sessions.column('phase'),
  ];
  const patterns = new Map<string, string[]>();
  golfers.forEach((golfer, row) => {
    if (golfer === null) return;
    const when = coarseDate(dates[row] ?? FIRST_DAY, days.get(golfer) ?? [], level);
    patterns.set(golfer, [...(patterns.get(golfer) ?? []), `${when} ${phases[row]}`]);
  });
  const arms = assignments.column('golfer_id').map((golfer, row) => {
    const assigned = assignments.column('assigned_on')[row];
    return {
      golfer,
      what: assigned == null ? '' : `${coarseDate(assigned, days.get(golfer ?? '') ?? [], level)} arm`,
    };
  });
  for (const { golfer, what } of arms) {
    if (golfer === null) continue;
    const own = patterns.get(golfer) ?? [];
    patterns.set(golfer, own);
    if (!own.includes(what)) own.push(what);
  }
  return new Map([...patterns].map(([golfer, own]) => [golfer, own.sort().join(', ')]));
}

/** Behind which visits each golfer practised. */
export function practicePatterns({ tables }: Dataset, days: VisitDays): ReadonlyMap<string, string> {
  const { practice } = tables;
  const dates = practice.column('date');
  const patterns = new Map<string, Set<number>>();
  practice.column('golfer_id').forEach((golfer, row) => {
    const date = dates[row];
    if (golfer === null || date == null) return;
    const before = (days.get(golfer) ?? []).filter((visit) => visit <= date).length;
    patterns.set(golfer, (patterns.get(golfer) ?? new Set()).add(before));
  });
  return new Map([...patterns].map(([golfer, own]) => [golfer, [...own].sort((a, b) => a - b).join()]));
}
