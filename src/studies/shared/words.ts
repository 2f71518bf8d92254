/** Numbers and comparisons in words a coach can read. Rounding happens here and nowhere else. */

const MINUS = '\u2212';

/** What more and less of a metric mean, where 'higher' and 'lower' would not be understood. */
const DIRECTIONS: Readonly<Record<string, readonly [string, string]>> = {
  shaft_lean_impact_deg: ['further forward', 'further back'],
  low_point_cm: ['further ahead of the ball', 'further behind'],
  elbow_extension_onset_ms: ['later', 'earlier'],
  release_onset_ms: ['earlier', 'later'],
  release_timing_pct: ['later', 'earlier'],
  downswing_ms: ['longer', 'shorter'],
};

/** A number with a real minus sign; one that rounds to zero has no sign. */
export function figure(value: number, decimals: number): string {
  const text = Math.abs(value).toFixed(decimals);
  return value < 0 && Number(text) !== 0 ? `${MINUS}${text}` : text;
}

/** The unit as it follows the size of a change. */
export function unitWords(unit: string): string {
  if (unit === '%' || unit === 'yes/no') return 'percentage points';
  if (unit === 'ratio' || unit === '') return '';
  if (unit === 'rating 1 to 5') return 'rating points';
  return unit;
}

/** A value of the metric without its unit; a share of swings (yes/no) as so many in a hundred. */
export function figureIn(value: number, unit: string, decimals: number): string {
  return unit === 'yes/no' ? figure(100 * value, Math.max(0, decimals - 2)) : figure(value, decimals);
}

/** `2.1 deg`, `0.03`, `4.0 percentage points`. */
export function amount(value: number, unit: string, decimals: number): string {
  return `${figureIn(value, unit, decimals)} ${unitWords(unit)}`.trim();
}

/** The words for more and for less of this metric. */
export function directionWords(column: string, value: number): string {
  const [more, less] = DIRECTIONS[column] ?? ['higher', 'lower'];
  return value >= 0 ? more : less;
}

/**
 * Decimals that show an estimate, its interval and the smallest change without contradiction: at least the
 * metric's own, enough for the half-width of the interval, and so many that what differs is seen to differ.
 */
export function decimalsToShow(
  interval: readonly [number, number] | null,
  smallest: number | null,
  least: number,
): number {
  const half = interval === null ? 0 : (interval[1] - interval[0]) / 2;
  let decimals = Math.min(4, Math.max(least, half > 0 ? -Math.floor(Math.log10(half)) : 0));
  if (interval === null) return decimals;
  const limits = smallest === null ? [0] : [0, smallest, -smallest];
  const blurred = (end: number) =>
    limits.some((limit) => end !== limit && figure(end, decimals) === figure(limit, decimals));
  while (decimals < 4 && interval.some(blurred)) decimals += 1;
  return decimals;
}

export interface Shown {
  readonly column: string;
  readonly unit: string;
  readonly decimals: number;
  readonly level: number;
}

/** What is said of a difference that rounds to zero; that it is zero is not known. */
export const ABOUT_THE_SAME = 'about the same';

/** `2.1 deg higher`, `1.4 deg further back`; `about the same` when it rounds to zero. */
export function difference(value: number, shown: Shown): string {
  if (Number(Math.abs(value).toFixed(shown.decimals)) === 0) return ABOUT_THE_SAME;
  return `${amount(Math.abs(value), shown.unit, shown.decimals)} ${directionWords(shown.column, value)}`;
}

/**
 * `95% interval 1.2 to 3.0 deg`, in the direction already said of the estimate, or `95% interval from 0.4 deg lower
 * to 1.9 deg higher`.
 */
export function intervalOfDifference(interval: readonly [number, number], shown: Shown): string {
  const [low, high] = interval;
  const opening = `${percent(shown.level, 1)} interval`;
  if (low < 0 && high > 0) return `${opening} from ${difference(low, shown)} to ${difference(high, shown)}`;
  const [near, far] = high <= 0 ? [-high, -low] : [low, high];
  return `${opening} ${figureIn(near, shown.unit, shown.decimals)} to ${amount(far, shown.unit, shown.decimals)}`;
}

/** `95%`, `17%`; a level keeps its decimal (`97.5%`). */
export function percent(share: number, decimals = 0): string {
  return `${Number((100 * share).toFixed(decimals))}%`;
}

/** `1 golfer`, `12 golfers`. */
export function count(n: number, one: string, many = `${one}s`): string {
  return `${n} ${n === 1 ? one : many}`;
}

/** `a`, `a and b`, `a, b and c`. */
export function list(items: readonly string[]): string {
  if (items.length < 2) return items[0] ?? '';
  return `${items.slice(0, -1).join(', ')} and ${items.at(-1)}`;
}

/** So many names are read; more of them would hide the sentence they stand in. */
export const MOST_NAMED = 100;

/** Like `list`, with at most a hundred named and the others counted. */
export function listSome(items: readonly string[]): string {
  if (items.length <= MOST_NAMED) return list(items);
  return `${items.slice(0, MOST_NAMED).join(', ')} and ${items.length - MOST_NAMED} more`;
}

/** The text with its first letter large. */
export function capitalised(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
