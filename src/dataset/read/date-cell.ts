const ISO = /^(\d{4})-(\d{2})-(\d{2})$/;

/**
 * Whether a text is a day of the calendar written year-month-day (ISO 8601).
 *
 * @example isDate('2024-02-29') // true
 * @example isDate('2026-02-29') // false
 */
export function isDate(text: string): boolean {
  const parts = ISO.exec(text);
  if (parts === null) return false;
  const [year, month, day] = [Number(parts[1]), Number(parts[2]), Number(parts[3])];
  return month >= 1 && month <= 12 && day >= 1 && day <= daysIn(year, month);
}

function daysIn(year: number, month: number): number {
  if (month === 2) return (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0 ? 29 : 28;
  return [4, 6, 9, 11].includes(month) ? 30 : 31;
}

const two = (part: string) => part.padStart(2, '0');

/** What to do about a text that is no date. */
export function dateRemedy(text: string): string {
  const trimmed = text.trim();
  if (trimmed !== text && isDate(trimmed)) return `Take the spaces away: ${trimmed}.`;
  const [, first, second, year] = /^(\d{1,2})[/.-](\d{1,2})[/.-](\d{4})$/.exec(trimmed) ?? [];
  if (first !== undefined && second !== undefined && year !== undefined) {
    const readings = [
      ...new Set([`${year}-${two(second)}-${two(first)}`, `${year}-${two(first)}-${two(second)}`]),
    ].filter(isDate);
    if (readings.length === 2)
      return `It can be read two ways. Write ${readings[0]} (day first) or ${readings[1]} (month first).`;
    if (readings.length === 1) return `Write ${readings[0]}.`;
  }
  const [, y, m, d] = /^(\d{4})[/.-](\d{1,2})[/.-](\d{1,2})$/.exec(trimmed) ?? [];
  if (y !== undefined && m !== undefined && d !== undefined && isDate(`${y}-${two(m)}-${two(d)}`))
    return `Write ${y}-${two(m)}-${two(d)}.`;
  const withTime = /^(\d{4}-\d{2}-\d{2})[T ].+$/.exec(trimmed)?.[1];
  if (withTime !== undefined && isDate(withTime)) return `Leave out the time of day: ${withTime}.`;
  if (ISO.test(trimmed)) return 'There is no such day in the calendar. Correct the month or the day.';
  if (/^\d{5}(?:\.\d+)?$/.test(trimmed))
    return 'This is how a spreadsheet counts days. Format the column as text year-month-day and save again.';
  return 'Write the date as year-month-day, such as 2026-03-04.';
}
