import { secondsOf } from './cell-values.ts';

const DAY_S = 86_400;
/** A visit that goes on past midnight does not rest longer than this (common practice, no source). */
const LONGEST_PAUSE_S = 3 * 3600;

/** Where in time a swing of a visit was: its date and time of day, which may be of the next day. */
export interface DatedTime {
  /** YYYY-MM-DD. */
  readonly date: string;
  /** HH:MM:SS, parts of a second may follow. */
  readonly time: string;
}

/**
 * The moments of one visit's swings, in seconds, each in the place of its swing; NaN where there is no such day. The
 * swings come in the order in which they were made. Where their times rise but for one fall over midnight, with a pause of
 * less than three hours, and all of them lie within one day, those after it are of the next day.
 *
 * @example
 * const [last, next] = momentsOf([{ date: '2026-03-04', time: '23:59:50' }, { date: '2026-03-04', time: '00:00:20' }]);
 * next! - last! // 30: past midnight
 */
export function momentsOf(swings: readonly DatedTime[]): Float64Array {
  const moments = Float64Array.from(swings, ({ date, time }) => startOf(date) + secondsOf(time));
  const falls = swings.flatMap((_, index) =>
    index > 0 && moments[index]! < moments[index - 1]! ? [index] : [],
  );
  const [fall] = falls;
  if (fall === undefined || falls.length > 1) return moments;
  if (moments[fall]! + DAY_S - moments[fall - 1]! >= LONGEST_PAUSE_S) return moments;
  if (moments.at(-1)! + DAY_S - moments[0]! >= DAY_S) return moments;
  return moments.map((moment, index) => (index < fall ? moment : moment + DAY_S));
}

/** Seconds from 1970 to the start of a day, every day having 86,400: the clocks of two devices are compared, not time itself. */
function startOf(date: string): number {
  return /^\d{4}-\d{2}-\d{2}$/.test(date) ? Date.parse(`${date}T00:00:00Z`) / 1000 : Number.NaN;
}
