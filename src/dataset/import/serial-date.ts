const DAY_MS = 86_400_000;

/**
 * The day, or the moment, that a spreadsheet counts as `serial`: days since the end of 1899, or since 1904-01-01 in a
 * workbook of the 1904 system (ECMA-376, part 1, 18.17.4). Day 60 of the first system is 29 February 1900, which never
 * was; it has no date.
 *
 * @returns `YYYY-MM-DD`, with ` HH:MM:SS` where there is a time of day; `HH:MM:SS` below one day; null where there is none
 * @example serialDate(46085, false) // '2026-03-04'
 * @example serialDate(44623, true) // '2026-03-04'
 */
export function serialDate(serial: number, from1904: boolean): string | null {
  if (!(serial >= 0 && serial < 2_958_466)) return null;
  const seconds = Math.round((serial % 1) * 86_400);
  const day = Math.floor(serial) + (seconds === 86_400 ? 1 : 0);
  const time = new Date((seconds % 86_400) * 1000).toISOString().slice(11, 19);
  if (day === 0) return from1904 && seconds === 0 ? '1904-01-01' : time;
  if (!from1904 && day === 60) return null;
  const start = from1904 ? Date.UTC(1904, 0, 1) : Date.UTC(1899, 11, day < 60 ? 31 : 30);
  const date = new Date(start + day * DAY_MS).toISOString().slice(0, 10);
  return seconds % 86_400 === 0 ? date : `${date} ${time}`;
}

/** The formats built into spreadsheets that show a number as a date or time (ECMA-376, part 1, 18.8.30). */
const BUILT_IN: readonly (readonly [number, number])[] = [
  [14, 22],
  [27, 36],
  [45, 47],
  [50, 58],
];

/** Whether a number format shows a date or a time. */
export function isDateFormat(id: number, code: string | undefined): boolean {
  if (code === undefined) return BUILT_IN.some(([low, high]) => id >= low && id <= high);
  const bare = code
    .split(';', 1)[0]!
    .replace(/"[^"]*"|\\.|_.|\*.|\[(?!h+\]|m+\]|s+\])[^\]]*\]/gi, '')
    .replace(/general/gi, '');
  return /[ymdhs]/i.test(bare);
}
