const DAY_MS = 86_400_000;

/**
 * The date so many days after another, as year-month-day; no clock and no time zone is involved.
 *
 * @example addDays('2026-02-27', 3) // '2026-03-02'
 */
export function addDays(date: string, days: number): string {
  return new Date(Date.parse(`${date}T00:00:00Z`) + days * DAY_MS).toISOString().slice(0, 10);
}
