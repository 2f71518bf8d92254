import { isDate } from '../read/date-cell.ts';
import { numberIn } from '../read/number-cell.ts';
import { unitIn } from './units.ts';

export type DateOrder = 'year-first' | 'day-first' | 'month-first' | 'counted-1900' | 'counted-1904';

/** Texts that stand for nothing in a spreadsheet; each column's use of them is reported. */
export const MISSING_WORDS: readonly string[] = [
  '',
  'n/a',
  'na',
  'nan',
  'null',
  'none',
  '-',
  '--',
  '\u2013',
  '\u2014',
  '?',
  '.',
];

/** A number as it was written, and the unit behind it, where one is. */
export interface WrittenNumber {
  readonly value: number;
  readonly unit: string | null;
}

/**
 * The number in a cell with this decimal mark; null where it is none. Marks between thousands are not read: 1.234 is
 * one and a bit with a point, and not a number at all with a comma.
 *
 * @example writtenNumber('12,5 mph', ',') // { value: 12.5, unit: 'mph' }
 */
export function writtenNumber(text: string, decimal: '.' | ','): WrittenNumber | null {
  const plain = text
    .trim()
    .replace(/^[\u2212\u2012\u2013]/, '-')
    .replace(/[\u00A0\u202F]/g, ' ');
  const parts = /^([+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d{1,3})?)\s*([^\d\s.,].*)?$/.exec(plain);
  if (parts?.[1] === undefined) return null;
  const unit = parts[2] === undefined ? null : unitIn(parts[2]);
  if (parts[2] !== undefined && unit === null) return null;
  const other = decimal === '.' ? ',' : '.';
  if (parts[1].includes(other)) return null;
  const value = numberIn(parts[1].replace(',', '.'));
  return Number.isNaN(value) ? null : { value, unit };
}

/** A date and, where the cell has it, the time of day as HH:MM:SS. */
export interface WrittenDate {
  readonly date: string;
  readonly time: string | null;
}

const MONTHS = [
  'january',
  'february',
  'march',
  'april',
  'may',
  'june',
  'july',
  'august',
  'september',
  'october',
  'november',
  'december',
];
const two = (part: string) => part.padStart(2, '0');

/** The three numbers of a date written with figures only, as they stand; null where it is no such date. */
export function dateParts(text: string): readonly [string, string, string] | null {
  const parts = /^(\d{1,4})[/.-](\d{1,2})[/.-](\d{1,4})$/.exec(splitTime(text).day);
  return parts === null ? null : [parts[1]!, parts[2]!, parts[3]!];
}

/** The year, month and day of a cell as they are written, in whatever order they stood. */
interface DayParts {
  /** Four figures, or two. */
  readonly year: string;
  readonly month: string;
  readonly day: string;
}

/**
 * The date in a cell, figures read in this order. A name of a month, or a year of four figures first, needs no order.
 *
 * @param century the first of the hundred years that two figures of a year lie in; null where they are not known, and
 * a year of two figures makes no date
 * @example writtenDate('4.3.2026', 'day-first', null) // { date: '2026-03-04', time: null }
 * @example writtenDate('25/03/2026', 'month-first', null) // null
 * @example writtenDate('4.3.98', 'day-first', 1930) // { date: '1998-03-04', time: null }
 */
export function writtenDate(text: string, order: DateOrder, century: number | null): WrittenDate | null {
  const { day, time } = splitTime(text);
  const parts = partsOf(day, order);
  if (parts === null || time === false) return null;
  const year = parts.year.length === 4 ? parts.year : century === null ? null : yearIn(parts.year, century);
  const date = `${year}-${two(parts.month)}-${two(parts.day)}`;
  return year !== null && isDate(date) ? { date, time } : null;
}

/**
 * Whether a cell is a date, in one order or another, but for a year of two figures.
 *
 * @example hasTwoFigureYear('4-Mar-98') // true
 */
export function hasTwoFigureYear(text: string): boolean {
  return (['day-first', 'month-first', 'year-first'] as const).some(
    (order) => writtenDate(text, order, null) === null && writtenDate(text, order, 2000) !== null,
  );
}

/** The year with these last two figures among the hundred from `first` on. */
function yearIn(figures: string, first: number): string {
  return String(first + ((Number(figures) - (first % 100) + 100) % 100)).padStart(4, '0');
}

function partsOf(text: string, order: DateOrder): DayParts | null {
  const parts = dateParts(text);
  return parts === null ? namedParts(text) : figureParts(parts, order);
}

function figureParts([a, b, c]: readonly [string, string, string], order: DateOrder): DayParts | null {
  if (a.length === 4) return c.length > 2 ? null : { year: a, month: b, day: c };
  if (order === 'year-first') return a.length === 2 && c.length <= 2 ? { year: a, month: b, day: c } : null;
  if (a.length > 2 || (c.length !== 4 && c.length !== 2)) return null;
  if (order === 'day-first') return { year: c, month: b, day: a };
  return order === 'month-first' ? { year: c, month: a, day: b } : null;
}

const DAY_THEN_MONTH =
  /^(?:[a-z]{3,9},?\s+)?(\d{1,2})(?:st|nd|rd|th)?[\s.-]+([a-z]{3,9})\.?,?[\s-]+(\d{4}|\d{2})$/i;
const MONTH_THEN_DAY =
  /^(?:[a-z]{3,9},?\s+)??([a-z]{3,9})\.?\s+(\d{1,2})(?:st|nd|rd|th)?,?\s+(\d{4}|\d{2})$/i;

function namedParts(text: string): DayParts | null {
  const named = DAY_THEN_MONTH.exec(text) ?? MONTH_THEN_DAY.exec(text);
  if (named === null) return null;
  const [first, second, year] = [named[1]!, named[2]!, named[3]!];
  const [day, word] = /^\d/.test(first) ? [first, second] : [second, first];
  const month = MONTHS.findIndex((name) => name.startsWith(word.toLowerCase())) + 1;
  return month === 0 ? null : { year, month: String(month), day };
}

/** The time of day behind a date, whatever the date; null where there is none. */
export function timeBehindDate(text: string): string | null {
  return splitTime(text).time || null;
}

/** The day and the time of day of a text; time null where there is none, false where it is no time. */
function splitTime(text: string): { readonly day: string; readonly time: string | null | false } {
  const trimmed = text.trim();
  const at = /^(.*?\d)(?:T|,?\s+)(\d{1,2}:\d{2}.*)$/.exec(trimmed);
  if (at === null) return { day: trimmed, time: null };
  return { day: at[1]!, time: timeOfDay(at[2]!) ?? false };
}

/**
 * A time of day as HH:MM:SS, parts of a second kept; null where it is none. A zone behind it is put aside.
 *
 * @example timeOfDay('2:05 pm') // '14:05:00'
 */
export function timeOfDay(text: string): string | null {
  const parts =
    /^(\d{1,2}):(\d{2})(?::(\d{2})([.,]\d{1,6})?)?\s*([ap]\.?m\.?)?(?:Z|[+-]\d{2}:?\d{2})?$/i.exec(
      text.trim(),
    );
  if (parts === null) return null;
  const [, hourText, minute, second = '00', fraction = '', half] = parts;
  let hour = Number(hourText);
  if (half !== undefined) {
    if (hour < 1 || hour > 12) return null;
    hour = (hour % 12) + (half.toLowerCase().startsWith('p') ? 12 : 0);
  }
  if (hour > 23 || Number(minute) > 59 || Number(second) > 59) return null;
  return `${two(String(hour))}:${minute}:${second}${fraction.replace(',', '.')}`;
}

/** Seconds since midnight of a time as {@link timeOfDay} gives it. */
export function secondsOf(time: string): number {
  const [hour, minute, second] = time.split(':');
  return Number(hour) * 3600 + Number(minute) * 60 + Number(second);
}
