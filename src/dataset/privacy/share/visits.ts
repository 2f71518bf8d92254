import type { Dataset } from '../../dataset.ts';

/** Every golfer's first visit is on this day, so that no date of an export is a date of the calendar. */
export const FIRST_DAY = '2000-01-03';

/** How fine the time between visits stays: to the week, to four weeks, or only their order. */
export const VISIT_LEVELS = ['weeks', 'four weeks', 'order'] as const;
const DAYS = [7, 28] as const;
const DAY_MS = 86_400_000;

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

/** Phases and coarse dates of all visits of each golfer: who has the same cannot be told apart by them. */
export function visitPatterns(dataset: Dataset, days: VisitDays, level: number): ReadonlyMap<string, string> {
  const { sessions } = dataset.tables;
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
  return new Map([...patterns].map(([golfer, own]) => [golfer, own.sort().join(', ')]));
}
